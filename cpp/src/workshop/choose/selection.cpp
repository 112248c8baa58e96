#include "workshop/choose/selection.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "shimwise/error.hpp"
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/differences.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/choose/wanted.hpp"

namespace shimwise {
namespace {

constexpr double same_setting = 1e-6;  // turns or mm

std::string key_of(const Car& car, const AdjusterPlace& place) {
    return adjuster_key(place.corner, car[place.corner].adjusters[place.adjuster].name);
}

std::vector<AdjusterPlace> all_adjusters(const Car& car) {
    std::vector<AdjusterPlace> all;
    for (const Corner& corner : car.corners)
        for (std::size_t a = 0; a < corner.adjusters.size(); ++a) all.push_back({corner.id, a});
    return all;
}

class Reader {
public:
    explicit Reader(const Car& car) : car_(car) {
        for (const std::vector<ValueId>& group : groups_of(car))
            values_.insert(values_.end(), group.begin(), group.end());
    }

    std::vector<AdjusterPlace> adjusters(const std::string& option, const std::vector<std::string>& names) {
        std::vector<AdjusterPlace> found;
        for (const std::string& name : names) {
            bool any = false;
            for (const AdjusterPlace& place : all_adjusters(car_)) {
                const Adjuster& adjuster = car_[place.corner].adjusters[place.adjuster];
                const bool named = key_of(car_, place) == name || adjuster.name == name ||
                                   corner_names[index(place.corner)] == name ||
                                   purpose_names[static_cast<std::size_t>(adjuster.purpose)] == name;
                if (named && !Selection::holds(found, place)) found.push_back(place);
                any = any || named;
            }
            if (!any) fault(option, name, "is no adjuster, corner or purpose of " + car_.name + nearest_of_all(name));
        }
        return found;
    }

    std::vector<ValueId> values(const std::string& option, const std::vector<std::string>& names) {
        std::vector<ValueId> found;
        for (const std::string& name : names) {
            bool any = false;
            for (const ValueId& id : values_)
                if (key(id) == name || info(id).name == name) {
                    any = true;
                    found.push_back(id);
                }
            if (any) continue;
            std::vector<std::string> known;
            for (const ValueId& id : values_) {
                known.push_back(key(id));
                known.emplace_back(info(id).name);
            }
            fault(option, name, "is no value that a plan can keep or let go" + did_you_mean(name, known));
        }
        return found;
    }

    /// What nobody knows how near to keep cannot be kept.
    void keepable(const std::vector<std::string>& names) {
        for (const std::string& name : names) {
            const auto is_named = [&](const ValueId& id) { return key(id) == name || info(id).name == name; };
            const auto has_none = [&](const ValueId& id) { return !is_named(id) || !common_tolerance(id, car_); };
            if (std::any_of(values_.begin(), values_.end(), is_named) &&
                std::all_of(values_.begin(), values_.end(), has_none))
                fault("keep", name, "has no common tolerance to stay within: give it a target");
        }
    }

    /// What is asked for cannot be let go.
    void not_asked(const std::vector<std::string>& names, const Targets& targets) {
        for (const std::string& name : names) {
            std::size_t named = 0, asked = 0;
            for (const ValueId& id : values_) {
                if (key(id) != name && info(id).name != name) continue;
                const auto target = targets.values.find(id);
                ++named;
                if (target != targets.values.end() && target->second.value) ++asked;
            }
            if (named > 0 && asked == named) fault("free", name, "is asked for in the targets: take it out there");
        }
    }

    std::vector<std::pair<AdjusterPlace, double>> forced(const std::map<std::string, Words>& all) {
        std::vector<std::pair<AdjusterPlace, double>> found;
        for (const auto& [key, words] : all) {
            const auto place = find_adjuster(car_, key);
            if (!place) {
                fault("force", key, "is no adjuster of " + car_.name + nearest(key));
                continue;
            }
            const Adjuster& adjuster = car_[place->corner].adjusters[place->adjuster];
            const Amount said = amount("force." + key, adjuster, words);
            if (const Thread* thread = adjuster.thread()) {
                found.emplace_back(*place, turns_from_drawn(said, *thread));
                continue;
            }
            double total_mm = said.from == From::now ? adjuster.stack()->total_mm() + said.size : said.size;
            if (said.shims_mm) {
                total_mm = 0.0;
                for (const double mm : *said.shims_mm) total_mm += mm;
            }
            found.emplace_back(*place, total_mm);
        }
        return found;
    }

    std::vector<std::vector<AdjusterPlace>> tied(const std::vector<std::vector<std::string>>& all) {
        std::vector<std::vector<AdjusterPlace>> found;
        for (const std::vector<std::string>& names : all) {
            std::vector<AdjusterPlace> together;
            for (const std::string& name : names) {
                const auto place = find_adjuster(car_, name);
                if (!place)
                    fault("tie", name, "is no adjuster of " + car_.name + nearest(name));
                else if (Selection::holds(together, *place))
                    fault("tie", name, "stands twice");
                else
                    together.push_back(*place);
            }
            if (names.size() < 2) fault("tie", names.empty() ? "" : names[0], "needs two adjusters or more");
            for (const AdjusterPlace& place : together)
                if (!at(place).thread() != !at(together[0]).thread())
                    fault("tie", key_of(car_, place),
                          "is no " + std::string(at(place).thread() ? "pack" : "thread") + " as " +
                              key_of(car_, together[0]) + " is: these have no equal steps");
            for (const std::vector<AdjusterPlace>& other : found) apart("tie", together, "another tie", other);
            found.push_back(std::move(together));
        }
        return found;
    }

    /// Nothing may be asked for in two ways that exclude each other.
    void apart(const std::string& one, const std::vector<AdjusterPlace>& a, const std::string& other,
               const std::vector<AdjusterPlace>& b) {
        for (const AdjusterPlace& place : a)
            if (Selection::holds(b, place)) fault(one, key_of(car_, place), "is in " + other + " too");
    }

    /// What is forced must have its time.
    void in_time(const std::vector<std::pair<AdjusterPlace, double>>& forced, double within_minutes) {
        double minutes = 0.0;
        std::vector<std::string> keys;
        for (const auto& [place, setting] : forced) {
            if (std::fabs(setting - present_setting(at(place))) <= same_setting) continue;
            minutes += at(place).minutes;
            keys.push_back(key_of(car_, place));
        }
        if (minutes > within_minutes)
            fault("within_minutes", fixed_words(within_minutes, 1),
                  "is too short for what is forced: " + listed_words(keys) + (keys.size() == 1 ? " takes " : " take ") +
                      fixed_words(minutes, 1) + " minutes");
    }

    void fault(const std::string& option, const std::string& value, const std::string& rule) {
        problems_.push_back({"", 0, 0, option, value, rule});
    }

    void report() {
        if (!problems_.empty()) throw InputError(std::move(problems_));
    }

private:
    const Adjuster& at(const AdjusterPlace& place) const { return car_[place.corner].adjusters[place.adjuster]; }

    std::string nearest(const std::string& name) const {
        std::vector<std::string> known;
        for (const AdjusterPlace& place : all_adjusters(car_)) known.push_back(key_of(car_, place));
        return did_you_mean(name, known);
    }

    std::string nearest_of_all(const std::string& name) const {
        std::vector<std::string> known(corner_names.begin(), corner_names.end());
        known.insert(known.end(), purpose_names.begin(), purpose_names.end());
        for (const AdjusterPlace& place : all_adjusters(car_)) {
            known.push_back(key_of(car_, place));
            known.push_back(at(place).name);
        }
        return did_you_mean(name, known);
    }

    const Car& car_;
    std::vector<ValueId> values_;
    std::vector<Problem> problems_;
};

}  // namespace

bool Selection::holds(const std::vector<AdjusterPlace>& places, const AdjusterPlace& place) {
    return std::any_of(places.begin(), places.end(), [&](const AdjusterPlace& one) {
        return one.corner == place.corner && one.adjuster == place.adjuster;
    });
}

void Selection::add(std::vector<AdjusterPlace>& places, const std::vector<AdjusterPlace>& more) {
    for (const AdjusterPlace& place : more)
        if (!holds(places, place)) places.push_back(place);
}

void Selection::sort(std::vector<AdjusterPlace>& places) {
    std::sort(places.begin(), places.end(), [](const AdjusterPlace& a, const AdjusterPlace& b) {
        return a.corner != b.corner ? a.corner < b.corner : a.adjuster < b.adjuster;
    });
}

Selection selected(const Car& car, const Targets& targets, const PlanOptions& options) {
    Reader read(car);
    Selection s;
    s.keep = read.values("keep", options.keep);
    s.free = read.values("free", options.free);
    for (const ValueId& id : s.keep)
        if (std::find(s.free.begin(), s.free.end(), id) != s.free.end()) read.fault("keep", key(id), "is in free too");
    read.keepable(options.keep);
    read.not_asked(options.free, targets);
    s.turn = read.adjusters("turn", options.turn);
    s.forbid = read.adjusters("forbid", options.forbid);
    s.prefer = read.adjusters("prefer", options.prefer);
    s.force = read.forced(options.force);
    s.tie = read.tied(options.tie);
    std::vector<AdjusterPlace> forced, tied;
    for (const auto& [place, setting] : s.force) forced.push_back(place);
    for (const std::vector<AdjusterPlace>& together : s.tie) tied.insert(tied.end(), together.begin(), together.end());
    read.apart("turn", s.turn, "forbid", s.forbid);
    read.apart("force", forced, "forbid", s.forbid);
    read.apart("tie", tied, "forbid", s.forbid);
    read.apart("prefer", s.prefer, "forbid", s.forbid);
    if (options.within_minutes && !(*options.within_minutes >= 0.0 && std::isfinite(*options.within_minutes)))
        read.fault("within_minutes", fixed_words(*options.within_minutes, 1), "needs a number of at least 0");
    else if (options.within_minutes)
        read.in_time(s.force, *options.within_minutes);
    if (!(options.model_share >= 0.0 && options.model_share <= 1.0))
        read.fault("model_share", fixed_words(options.model_share, 3), "needs a share from 0 to 1");
    read.report();
    return s;
}

}  // namespace shimwise
