// Published examples of instruments, through the functions that readings go through. Tags as in uncertainty_test.cpp.
#include <cmath>

#include "catch.hpp"
#include "numpy_legacy.hpp"
#include "workshop/measure/draws.hpp"
#include "workshop/morning.hpp"

using namespace shimwise;

// An instrument maker's instruction for a level, SEEN: 4 divisions to the left and, turned end for end, 3 to the right
// as the observer sees it; the level is off by 3.5, the surface by 0.5. In the level's own sense that is +4 and +3.
TEST_CASE("level reversal: half the sum is the level's own, half the difference the surface's", "[published]") {
    Morning m = wren_morning();
    m.readings.gauge_check_deg.reset();
    m.readings.pad_height_mm.reset();
    m.read(CornerId::rear_left).flags_mm = Flags{40.0, 40.0};  // toe 0: camber is inclination
    m.read(CornerId::rear_left).camber_deg = Reversal{4.0, 3.0};
    const Measured got = m.measured();
    CHECK_NEAR(got.gauge_zero_deg[index(CornerId::rear_left)], 3.5, 1e-12);
    CHECK_NEAR(*got.value("rear_left.camber"), 0.5, 1e-9);
}

// JCGM 101:2008 9.2.2 and 9.2.3, SEEN: sums of four normal and of four even errors of unit variance.
TEST_CASE("intervals of draws are those of JCGM 101", "[published]") {
    NumpyLegacy random(11);
    Eigen::MatrixXd sums(400'000, 2);
    for (Eigen::Index draw = 0; draw < sums.rows(); ++draw) {
        sums(draw, 0) = random.randn() + random.randn() + random.randn() + random.randn();
        sums(draw, 1) = std::sqrt(12.0) * (random.rand() + random.rand() + random.rand() + random.rand() - 2.0);
    }
    const Uncertain spread = spread_of(sums);
    const Eigen::MatrixX2d ends = within(sums, 0.95);  // an end scatters by 0.008
    for (Eigen::Index of = 0; of < 2; ++of) {
        CHECK_NEAR(spread.standard()(of), 2.0, 0.01);
        CHECK_NEAR(ends(of, 0), of == 0 ? -3.92 : -3.88, 0.03);
        CHECK_NEAR(ends(of, 1), of == 0 ? 3.92 : 3.88, 0.03);
    }
}
