#include "shimwise/motion/closing.hpp"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <optional>

namespace shimwise {
namespace {

constexpr double unit_mm = 0.01;
constexpr int most_units = 30000;  // 300 mm: beyond it is another part

constexpr std::array links = {Length::upper_wishbone_front_leg,
                              Length::upper_wishbone_rear_leg,
                              Length::lower_wishbone_front_leg,
                              Length::lower_wishbone_rear_leg,
                              Length::track_rod,
                              Length::pushrod};

/// Whether the held value is met with one link longer by so many units.
class Closing {
public:
    Closing(const Setup& setup, const Hold& hold, double value, Length link)
        : geometry_(setup.geometry), parts_(setup.parts()), hold_(hold), value_(value), link_(link) {}

    bool at(int units) const {
        Parts<double> parts = parts_;
        parts.lengths[index(link_)] += units * unit_mm;
        if (!(parts.at(link_) > 0.0)) return false;
        return solve(linkage(geometry_, parts), hold_, value_).status == Status::ok;
    }

private:
    const Geometry& geometry_;
    Parts<double> parts_;
    Hold hold_;
    double value_;
    Length link_;
};

/// Looks outward both ways in growing steps, then halves what lies between the last that is open and the first that
/// is not.
std::optional<int> smallest(const Closing& closing) {
    for (int open = 0, units = 1; open < most_units; open = units, units += 1 + units / 4) {
        std::optional<int> found;
        for (const int way : {1, -1}) {
            if (!closing.at(way * units)) continue;
            int bad = open, good = units;
            while (good - bad > 1) {
                const int middle = bad + (good - bad) / 2;
                (closing.at(way * middle) ? good : bad) = middle;
            }
            if (!found || good < std::abs(*found)) found = way * good;
        }
        if (found) return found;
    }
    return std::nullopt;
}

bool closes_as_drawn(const Linkage<double>& l) {
    const Pose<double> p = pose(l, 0.0);
    return p.upper_room > 0.0 && p.track_rod_room > 0.0 && strut(l, p).room > 0.0;
}

const char* name(Length link, const Geometry& corner) {
    switch (link) {
        case Length::upper_wishbone_front_leg:
            return "upper wishbone's front leg";
        case Length::upper_wishbone_rear_leg:
            return "upper wishbone's rear leg";
        case Length::lower_wishbone_front_leg:
            return "lower wishbone's front leg";
        case Length::lower_wishbone_rear_leg:
            return "lower wishbone's rear leg";
        case Length::track_rod:
            return "track rod";
        default:
            return corner.pull_rod ? "pull rod" : "pushrod";
    }
}

}  // namespace

std::vector<LinkChange> closing_changes(const Setup& setup, const Hold& hold, double value) {
    std::vector<LinkChange> changes;
    for (const Length link : links) {
        if (link == Length::pushrod && !setup.geometry.has_rocker) continue;
        if (const auto units = smallest({setup, hold, value, link})) changes.push_back({link, *units * unit_mm});
    }
    std::ranges::stable_sort(
        changes, [](const LinkChange& a, const LinkChange& b) { return std::fabs(a.by_mm) < std::fabs(b.by_mm); });
    return changes;
}

Shortfall shortfall(const Solved& solved) {
    const auto obstacle = [](Status status) {
        switch (status) {
            case Status::ok:
                return Obstacle::none;
            case Status::upper_wishbone_open:
                return Obstacle::upper_wishbone_open;
            case Status::track_rod_open:
                return Obstacle::track_rod_open;
            case Status::pushrod_open:
                return Obstacle::pushrod_open;
            case Status::out_of_reach:
                break;
        }
        return Obstacle::held_value_out_of_range;
    };
    return {.what = obstacle(solved.status), .by_mm = std::fabs(solved.short_by_mm)};
}

std::string refusal(const Setup& setup, const Solved& solved, const Hold& hold, double value) {
    const Linkage<double> l = linkage(setup.geometry, setup.parts());
    std::string text = in_words(solved, l, hold);
    if (closes_as_drawn(l)) return text;
    text += "; the smallest change that closes it, of one link alone: ";
    const std::vector<LinkChange> changes = closing_changes(setup, hold, value);
    if (changes.empty()) return text + "none";
    for (const LinkChange& change : changes) {
        char words[80];
        std::snprintf(words, sizeof words, "%s%s %.2f mm %s", &change == changes.data() ? "" : ", or ",
                      name(change.link, setup.geometry), std::fabs(change.by_mm),
                      change.by_mm > 0.0 ? "longer" : "shorter");
        text += words;
    }
    return text;
}

Solved solve_or_throw(const Setup& setup, const Linkage<double>& l, const Hold& hold, double value, double start) {
    const Solved solved = solve(l, hold, value, start);
    if (solved.status != Status::ok) throw Unreached(refusal(setup, solved, hold, value), shortfall(solved));
    return solved;
}

}  // namespace shimwise
