// Pitches of screw threads and the leads of rods made with them. SEEN: ISO 261 and ISO 724 (metric, coarse and fine),
// ASME B1.1 (UNF).
#include <string>
#include <utility>

#include "catch.hpp"
#include "shimwise/model/adjuster.hpp"

using namespace shimwise;

namespace {

double pitch(const std::string& designation) {
    const auto mm = thread_pitch_mm(designation);
    INFO(designation);
    REQUIRE(mm.has_value());
    return *mm;
}

}  // namespace

TEST_CASE("pitches of ISO 261 and of ASME B1.1", "[published]") {
    for (const auto& [designation, mm] : {std::pair{"M8", 1.25},
                                          {"M10", 1.5},
                                          {"M12", 1.75},
                                          {"M8x1.25", 1.25},
                                          {"M10x1.5", 1.5},
                                          {"M12x1.75", 1.75},
                                          {"M8x1", 1.0},
                                          {"M10x1.25", 1.25},
                                          {"M10x1", 1.0},
                                          {"M12x1.25", 1.25},
                                          {"M12x1.5", 1.5}})
        CHECK(pitch(designation) == mm);
    CHECK_NEAR(pitch("5/16-24"), 1.0583333, 5e-8);
    CHECK_NEAR(pitch("3/8-24"), 1.0583333, 5e-8);
    CHECK_NEAR(pitch("7/16-20"), 1.27, 1e-15);
    CHECK_NEAR(pitch("1/2-20"), 1.27, 1e-15);
}

TEST_CASE("lead per turn: the sum of both ends, one end, or their difference", "[published]") {
    const auto lead = [](Ends ends, const std::string& designation, const std::string& second = {}) {
        Thread thread;
        thread.ends = ends;
        thread.pitch_mm = pitch(designation);
        if (!second.empty()) thread.second_pitch_mm = pitch(second);
        return thread.lead_mm();
    };
    CHECK(lead(Ends::left_and_right, "M8x1.25") == 2.5);
    CHECK_NEAR(lead(Ends::left_and_right, "3/8-24"), 2.1166667, 5e-8);
    CHECK_NEAR(lead(Ends::left_and_right, "1/2-20"), 2.54, 1e-14);
    CHECK(lead(Ends::one, "M10") == 1.5);
    CHECK_NEAR(lead(Ends::same_hand, "M10", "M10x1.25"), 0.25, 1e-15);
}
