#include "shimwise/model/adjuster.hpp"

#include <cmath>

#include "catch.hpp"
#include "shimwise/model/limits.hpp"

using namespace shimwise;

// ISO 261 / ISO 724 (coarse M8, M10, M12 and the fine series: SEEN; the other coarse sizes: RECALL).
TEST_CASE("metric threads have the pitch of ISO 261") {
    CHECK_NEAR(thread_pitch_mm("M8").value(), 1.25, 0.0);
    CHECK_NEAR(thread_pitch_mm("M10").value(), 1.5, 0.0);
    CHECK_NEAR(thread_pitch_mm("M12").value(), 1.75, 0.0);
    CHECK_NEAR(thread_pitch_mm("M5").value(), 0.8, 0.0);
    CHECK_NEAR(thread_pitch_mm("M6").value(), 1.0, 0.0);
    CHECK_NEAR(thread_pitch_mm("M16").value(), 2.0, 0.0);
    CHECK_NEAR(thread_pitch_mm("M8x1").value(), 1.0, 0.0);
    CHECK_NEAR(thread_pitch_mm("M10x1.25").value(), 1.25, 0.0);
    CHECK_NEAR(thread_pitch_mm("M12x1.5").value(), 1.5, 0.0);
}

// ASME B1.1, UNF series (SEEN): 24 and 20 threads per inch.
TEST_CASE("inch threads have the pitch of their threads per inch") {
    CHECK_NEAR(thread_pitch_mm("5/16-24").value(), 1.0583333333333333, 1e-15);
    CHECK_NEAR(thread_pitch_mm("3/8-24").value(), 1.0583333333333333, 1e-15);
    CHECK_NEAR(thread_pitch_mm("7/16-20").value(), 1.27, 1e-15);
    CHECK_NEAR(thread_pitch_mm("1/2-20").value(), 1.27, 1e-15);
}

TEST_CASE("what is no thread has no pitch") {
    for (const char* text : {"", "M", "M8x", "M8x0", "M8x-1.25", "M8x9", "M13", "8x1.25", "3/8", "3/8-", "3/0-24",
                             "a/b-c", "M8x1.25x", "Mnan", "M8xinf", "3/8-inf"}) {
        INFO(text);
        CHECK_FALSE(thread_pitch_mm(text).has_value());
    }
}

TEST_CASE("the lead of a turn is the sum or the difference of its ends") {
    Thread thread;
    thread.pitch_mm = 1.25;
    CHECK_NEAR(thread.lead_mm(), 1.25, 0.0);
    thread.ends = Ends::left_and_right;
    CHECK_NEAR(thread.lead_mm(), 2.5, 0.0);
    thread.pitch_mm = thread_pitch_mm("3/8-24").value();
    CHECK_NEAR(thread.lead_mm(), 2.1166666666666667, 1e-14);
    thread.pitch_mm = thread_pitch_mm("1/2-20").value();
    CHECK_NEAR(thread.lead_mm(), 2.54, 1e-14);
    thread.ends = Ends::same_hand;
    thread.pitch_mm = 1.5;
    thread.second_pitch_mm = 1.25;
    CHECK_NEAR(thread.lead_mm(), 0.25, 0.0);
}

TEST_CASE("engagement is lost or gained end by end") {
    Thread thread;
    thread.pitch_mm = 1.5;
    thread.engaged_mm = {18.0, 16.0};
    const auto both = [&](double turns) { return engaged_mm(thread, turns); };
    CHECK_NEAR(both(2.0).first, 15.0, 1e-12);
    thread.ends = Ends::left_and_right;  // half of 2 x 3 mm each
    CHECK_NEAR(both(2.0).first, 15.0, 1e-12);
    CHECK_NEAR(both(2.0).second, 13.0, 1e-12);
    thread.ends = Ends::same_hand;
    thread.second_pitch_mm = 1.25;
    CHECK_NEAR(both(2.0).first, 20.5, 1e-12);
    CHECK_NEAR(both(2.0).second, 13.0, 1e-12);
}

TEST_CASE("an amount is turns times lead, or thickness less what was drawn") {
    Adjuster rod;
    Thread thread;
    thread.pitch_mm = 1.25;
    thread.ends = Ends::left_and_right;
    thread.now_turns = -1.5;
    rod.setting = thread;
    CHECK_NEAR(rod.amount_mm(), -3.75, 1e-12);
    Adjuster shim;
    Stack stack;
    stack.drawn_with_mm = 3.0;
    stack.fitted_mm = {2.0, 0.5, 0.2};
    shim.setting = stack;
    CHECK_NEAR(shim.amount_mm(), -0.3, 1e-12);
}
