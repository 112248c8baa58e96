#include "shimwise/motion/closing.hpp"

#include <cmath>

#include "catch.hpp"
#include "motion/corners.hpp"
#include "shimwise/error.hpp"
#include "shimwise/motion/forces.hpp"

using namespace shimwise;
using namespace corners;

namespace {

struct Asked {
    Hold hold;
    double value;
};

/// What is asked of these corners where nothing is turned.
std::vector<Asked> asked(const Kind& kind) {
    const Setup drawn = setup(corner(kind));
    std::vector<Asked> all;
    for (const Held held : {Held::wheel, Held::contact, Held::spring}) {
        const Hold hold = {.what = held};
        all.push_back({hold, present_value(drawn, hold)});
    }
    return all;
}

Status with_link(const Setup& s, const Asked& of, Length link, double by_mm) {
    Parts<double> parts = s.parts();
    parts.lengths[index(link)] += by_mm;
    return solve(linkage(s.geometry, parts), of.hold, of.value).status;
}

std::string refused(const Setup& s, const Asked& of) {
    const Linkage<double> l = linked(s);
    return refusal(s, solve(l, of.hold, of.value), of.hold, of.value);
}

}  // namespace

TEST_CASE("each link's smallest change closes the corner, and 0.01 mm less does not") {
    int found = 0, kinds_of_links = 0;
    for (const Kind& kind : kinds())
        for (const char* adjuster : {"track rod", "pushrod", "upper front leg", "lower rear leg"}) {
            if (!kind.rocker && std::string(adjuster) == "pushrod") continue;
            for (const double off : {-160.0, 170.0}) {
                const Setup s = with(kind, adjuster, off);
                for (const Asked& of : asked(kind)) {
                    if (solve(linked(s), of.hold, of.value).status == Status::ok) continue;
                    const std::vector<LinkChange> changes = closing_changes(s, of.hold, of.value);
                    kinds_of_links += changes.size() > 1 ? 1 : 0;
                    double last = 0.0;
                    for (const LinkChange& change : changes) {
                        INFO(kind.name() << ", " << adjuster << " off by " << off << ", "
                                         << held_names[index(of.hold.what)]
                                         << " held: " << length_names[index(change.link)] << " by " << change.by_mm);
                        CHECK(with_link(s, of, change.link, change.by_mm) == Status::ok);
                        CHECK(with_link(s, of, change.link, change.by_mm - std::copysign(0.01, change.by_mm)) !=
                              Status::ok);
                        CHECK(with_link(s, of, change.link, -change.by_mm) != Status::ok);
                        CHECK(std::fabs(change.by_mm) >= last);
                        last = std::fabs(change.by_mm);
                        ++found;
                    }
                }
            }
        }
    CHECK(found > 100);
    CHECK(kinds_of_links > 20);
}

TEST_CASE("a corner that does not close as drawn says what closes it, one that only cannot go so far does not") {
    const Kind kind;
    const Asked drawn = asked(kind)[1];
    const std::string words = refused(with(kind, "track rod", -160.0), drawn);
    INFO(words);
    CHECK(words.find("the track rod does not reach its joint on the upright: it is ") == 0);
    CHECK(words.find("; the smallest change that closes it, of one link alone: ") != std::string::npos);
    for (const LinkChange& change : closing_changes(with(kind, "track rod", -160.0), drawn.hold, drawn.value)) {
        char amount[32];
        std::snprintf(amount, sizeof amount, " %.2f mm %s", std::fabs(change.by_mm),
                      change.by_mm > 0.0 ? "longer" : "shorter");
        CHECK(words.find(amount) != std::string::npos);
    }
    CHECK(words.find("track rod ", 80) != std::string::npos);
    CHECK_THROWS_WITH(outputs_at(with(kind, "track rod", -160.0), drawn.hold, drawn.value), words);

    CHECK(refused(setup(corner(kind)), {{Held::wheel}, 900.0}).find("the smallest change") == std::string::npos);
    CHECK(refused(with(kind, "track rod", 3000.0), drawn).find("one link alone: none") != std::string::npos);
}

TEST_CASE("what does not close is called a pull rod where it is one, and that one pulls under the wheel's load") {
    for (const Kind& kind : kinds()) {
        if (!kind.rocker) continue;
        const Setup s = setup(corner(kind));
        const bool pulls = kind.strut_on == Body::upper_wishbone;
        INFO(kind.name());
        CHECK(corner(kind).has_pull_rod() == pulls);
        CHECK(in_words(Status::pushrod_open, s.geometry) ==
              std::string(pulls ? "the pull rod" : "the pushrod") + " does not reach the rocker");
        const Forces under_load = forces(corner(kind), {0.0, 0.0, 1000.0});
        CHECK((*under_load.axial_N[index(Member::pushrod)] > 0.0) == pulls);
    }
}
