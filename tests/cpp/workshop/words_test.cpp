#include "shimwise/workshop/words.hpp"

#include "catch.hpp"
#include "workshop/rod.hpp"

using namespace shimwise;

TEST_CASE("turns are said in flats, halves or turns, longer or shorter, never with a plain sign") {
    CHECK(turns_words(rod(0.0), 0.25) == "1 1/2 flats longer (0.25 turn)");
    CHECK(turns_words(rod(0.0), -1.0 / 24.0) == "1/4 flat shorter (0.042 turn)");
    CHECK(turns_words(rod(0.0), 1.0 / 6.0) == "1 flat longer (0.167 turn)");
    CHECK(turns_words(rod(1.0 / 6.0), 2.0) == "12 flats longer (2 turns)");
    CHECK(turns_words(rod(0.5), 0.5) == "1 half turn longer (0.5 turn)");
    CHECK(turns_words(rod(0.5), -1.5) == "3 half turns shorter (1.5 turns)");
    CHECK(turns_words(rod(1.0), 2.0) == "2 turns longer");
    CHECK(turns_words(rod(0.0), 0.35) == "0.35 turn longer");
    Adjuster coarser_outside = rod(1.0);
    std::get<Thread>(coarser_outside.setting).ends = Ends::same_hand;
    std::get<Thread>(coarser_outside.setting).second_pitch_mm = 1.5;
    CHECK(turns_words(coarser_outside, 2.0) == "2 turns shorter");
    CHECK(turns_words(coarser_outside, -2.0) == "2 turns longer");
    const Adjuster platform = rod(1.0 / 12.0, Length::spring_platform);
    CHECK(turns_words(platform, 0.25) == "3/12 turn toward the spring (0.25 turn)");
    CHECK(turns_words(platform, -1.0 / 12.0) == "1/12 turn away from the spring");
    CHECK(turns_words(platform, -1.0) == "1 turn away from the spring");
    CHECK(turns_words(platform, 27.0 / 12.0) == "2 3/12 turns toward the spring (2.25 turns)");
}

TEST_CASE("a rod is turned the way round that a screw law says, where its left-hand end is known") {
    // About an axis from the inner end to the outer one, right-hand rule: a screw that turns by +1 in a nut moves by
    // one pitch along the axis where it is right-handed, against it where it is left-handed. Both rod ends are nuts
    // that hold still. Seen from the outer end, +1 is counter-clockwise.
    for (const RodEnd left_hand : {RodEnd::outer, RodEnd::inner})
        for (const double sense : {1.0, -1.0}) {
            const double out_of_outer = left_hand == RodEnd::outer ? sense : -sense;  // pitches that the gap widens
            const double out_of_inner = left_hand == RodEnd::inner ? -sense : sense;
            CHECK(out_of_outer == out_of_inner);
            Adjuster one = rod(0.0);
            std::get<Thread>(one.setting).ends = Ends::left_and_right;
            std::get<Thread>(one.setting).left_hand = left_hand;
            CHECK(way_round_words(*one.thread(), out_of_outer) ==
                  (sense > 0.0 ? "counter-clockwise, seen from its outer end" : "clockwise, seen from its outer end"));
        }
    CHECK(way_round_words(*rod(0.0).thread(), 1.0).empty());
}

TEST_CASE("a step of a thread is counted as it locks, without a way") {
    CHECK(count_words(*rod(0.0).thread(), 1.0 / 24.0) == "1/4 flat");
    CHECK(count_words(*rod(0.0).thread(), -1.0 / 24.0) == "1/4 flat");
    CHECK(count_words(*rod(1.0 / 6.0).thread(), 1.0 / 6.0) == "1 flat");
    CHECK(count_words(*rod(0.5).thread(), 0.5) == "1 half turn");
    CHECK(count_words(*rod(1.0 / 12.0).thread(), 1.0 / 12.0) == "1/12 turn");
    CHECK(count_words(*rod(1.0).thread(), 1.0) == "1 turn");
}

TEST_CASE("shims are said as what goes out, what goes in and the pack that results") {
    StackChoice choice;
    choice.shims_mm = {2.0, 0.5, 0.2};
    choice.add_mm = {0.5, 0.2};
    choice.remove_mm = {1.0};
    CHECK(shims_words(choice) == "remove the 1.0 mm shim, add 0.5 mm and 0.2 mm: pack 2.0 + 0.5 + 0.2 mm");
    choice.add_mm.clear();
    choice.remove_mm = {1.0, 0.25};
    choice.shims_mm.clear();
    CHECK(shims_words(choice) == "remove the 1.0 mm and 0.25 mm shims: pack no shim");
    choice.remove_mm.clear();
    choice.add_mm = {0.125};
    choice.shims_mm = {0.125};
    CHECK(shims_words(choice) == "add 0.125 mm: pack 0.125 mm");
    CHECK(fixed_words(-0.001, 2) == "0.00");
    CHECK(signed_words(0.0004, 3) == "0.000");
    CHECK(signed_words(0.1, 1) == "+0.1");
}

TEST_CASE("flags are equal where one decimal shows no difference, otherwise one of them is the wider") {
    CHECK(flags_words(0.0) == "equal");
    CHECK(flags_words(0.049) == "equal");
    CHECK(flags_words(-0.049) == "equal");
    CHECK(flags_words(0.051) == "0.1 mm more at the front");
    CHECK(flags_words(-0.051) == "0.1 mm more at the rear");
    CHECK(flags_words(0.45) == "0.5 mm more at the front");
    CHECK(flags_words(-2.34) == "2.3 mm more at the rear");
}
