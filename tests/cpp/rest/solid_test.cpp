#include "shimwise/rest/solid.hpp"

#include <cmath>

#include "catch.hpp"
#include "rest/places.hpp"

using namespace shimwise;

TEST_CASE("on solid struts every strut keeps its length, and the best plane leaves nothing but the rocking") {
    cars::each([](const cars::Kind& kind, const RestModel& m, const PadHeights& pads) {
        if (kind.twists) return;
        StrutLengths struts = drawn_struts_mm(m.car);
        struts[0] += 0.5;
        const SolidState s = on_solid_struts(m, pads, struts);
        double sum = 0.0, along = 0.0, across = 0.0;
        for (std::size_t c = 0; c < corner_count; ++c) {
            CHECK_NEAR(s.stands.values.corners[c][index(Output::spring_length)], struts[c], 1e-9);
            const Eigen::Vector3d contact = places::of(m, s.stands).contacts[c].at;
            CHECK_NEAR(s.over_pad_mm[c], contact.z() - pads[c], 1e-9);
            sum += s.over_pad_mm[c];
            along += s.over_pad_mm[c] * contact.x();
            across += s.over_pad_mm[c] * contact.y();
        }
        CHECK_NEAR(sum, 0.0, 1e-7);
        CHECK_NEAR(s.rocking_mm, s.over_pad_mm[0] - s.over_pad_mm[1] - s.over_pad_mm[2] + s.over_pad_mm[3], 1e-12);
        CHECK(std::fabs(s.rocking_mm) > 1e-3);
        CHECK_NEAR(along, 0.0, 1e-4);
        CHECK_NEAR(across, 0.0, 1e-4);
    });
}
