#include "shimwise/workshop/choose/tried.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "shimwise/error.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/words.hpp"
#include "workshop/files/setting_faults.hpp"

namespace shimwise {
namespace {

using Shims = std::vector<double>;

double sum(const Shims& shims_mm) { return std::accumulate(shims_mm.begin(), shims_mm.end(), 0.0); }

void append(Shims& to, const Shims& more) { to.insert(to.end(), more.begin(), more.end()); }

/// A pack that is asked for.
struct WantedPack {
    std::string key;
    const Stack* stack = nullptr;
    double total_mm = 0.0;
    std::optional<Shims> pieces_mm;
};

/// Makes the packs of the stacks that draw on one box.
class Packer {
public:
    Packer(Shims box_mm, Settings& settings, std::vector<std::string>& notes)
        : box_mm_(std::move(box_mm)), settings_(settings), notes_(notes) {}

    void make(const std::vector<WantedPack>& asked) {
        std::vector<WantedPack> totals = with_their_pieces(asked);
        if (together(totals)) return;
        std::erase_if(totals, [this](const WantedPack& one) { return !made_alone(one); });
        if (together(totals)) return;
        std::string keys;
        for (const WantedPack& one : totals) {
            keys += (keys.empty() ? "" : ", ") + one.key;
            take_as_one(one);
        }
        notes_.push_back(keys + ": the shims at hand make each of these packs, but not all at the same time.");
    }

private:
    /// Packs asked for shim by shim get those shims; the rest, and those whose shims are not at hand, are left over.
    std::vector<WantedPack> with_their_pieces(const std::vector<WantedPack>& asked) {
        std::vector<WantedPack> left_over;
        for (const WantedPack& one : asked) {
            Shims pool_mm = box_mm_;
            append(pool_mm, one.stack->fitted_mm);
            const auto missing = one.pieces_mm ? take(pool_mm, *one.pieces_mm) : std::nullopt;
            if (one.pieces_mm && !missing) {
                settings_.shims_mm[one.key] = *one.pieces_mm;
                box_mm_ = pool_mm;
                continue;
            }
            if (missing)
                notes_.push_back(one.key + ": no " + mm_words(*missing) + " shim is at hand for it; a pack of " +
                                 mm_words(one.total_mm) + " is taken instead.");
            left_over.push_back(one);
        }
        return left_over;
    }

    /// False where the shims at hand do not make the total by themselves: then it is taken as one piece, and said.
    bool made_alone(const WantedPack& one) {
        const std::string not_made = not_made_words(stack_choices(one.stack->fitted_mm, box_mm_, one.stack->limits_mm),
                                                    one.total_mm, same_pack_mm);
        if (not_made.empty()) return true;
        take_as_one(one);
        notes_.push_back(one.key + ": " + not_made + ". It is taken as " + mm_words(one.total_mm) + " all the same.");
        return false;
    }

    /// False where the shims do not make all of them at once.
    bool together(const std::vector<WantedPack>& totals) {
        std::vector<Shims> fitted;
        std::vector<double> totals_mm;
        for (const WantedPack& one : totals) {
            fitted.push_back(one.stack->fitted_mm);
            totals_mm.push_back(one.total_mm);
        }
        const auto packs = stack_together(fitted, box_mm_, totals_mm);
        for (std::size_t i = 0; packs && i < totals.size(); ++i)
            settings_.shims_mm[totals[i].key] = (*packs)[i].shims_mm;
        return packs.has_value();
    }

    void take_as_one(const WantedPack& one) {
        settings_.shims_mm[one.key] = one.total_mm > same_pack_mm ? Shims{one.total_mm} : Shims{};
    }

    Shims box_mm_;
    Settings& settings_;
    std::vector<std::string>& notes_;
};

const Adjuster* adjuster_of(const Car& car, const std::string& key) {
    const auto place = find_adjuster(car, key);
    return place ? &car[place->corner].adjusters[place->adjuster] : nullptr;
}

/// `adjuster`: a thread, or nothing where the car has none of this key.
void turn(const Adjuster* adjuster, const std::string& key, double turns, Settings& settings,
          std::vector<std::string>& notes) {
    const Thread* thread = adjuster ? adjuster->thread() : nullptr;
    settings.turns[key] = (thread ? thread->now_turns : 0.0) + turns;
    const std::string note = thread ? not_locked_words(key, *adjuster, turns) : "";
    if (!note.empty()) notes.push_back(note);
}

/// A broken limit in a person's words, without the car file's key for it.
std::string limit_words(const BrokenLimit& broken) {
    return (broken.rule.starts_with("excludes") ? "its limit " : "") + broken.rule;
}

/// What was typed: the field is the adjuster's key, as a trial is no file.
Problem problem_with(const std::string& key, std::string rule) { return {"", 0, 0, key, "", std::move(rule)}; }

}  // namespace

std::string not_locked_words(const std::string& key, const Adjuster& adjuster, double turns) {
    const auto locks = locks_beside(*adjuster.thread(), turns);
    if (!locks) return "";
    const auto at = [&](double locked) { return locked == 0.0 ? "as it stands" : turns_words(adjuster, locked); };
    return key + ": " + turns_words(adjuster, turns) + " cannot be locked; the nearest: " + at(locks->first) + " and " +
           at(locks->second) + ".";
}

Car tried(const Car& car, const Trial& trial, std::vector<std::string>& notes) {
    Settings settings;
    std::vector<Problem> problems;
    for (const auto& [key, turns] : trial.turns) {
        const Adjuster* adjuster = adjuster_of(car, key);
        if (adjuster && adjuster->stack())
            problems.push_back(problem_with(key, "is a stack of shims: it is not turned"));
        else
            turn(adjuster, key, turns, settings, notes);
    }

    std::map<std::string, std::vector<WantedPack>> by_box;  // of an own box: under the stack's key
    for (const auto& [key, wanted] : trial.packs_mm) {
        const Adjuster* adjuster = adjuster_of(car, key);
        const Stack* stack = adjuster ? adjuster->stack() : nullptr;
        if (adjuster && !stack) {
            problems.push_back(problem_with(key, "is a thread: it is turned, not shimmed"));
            continue;
        }
        WantedPack asked = {key, stack, 0.0, std::nullopt};
        if (const Shims* pieces_mm = std::get_if<Shims>(&wanted)) asked.pieces_mm = *pieces_mm;
        const bool no_shim = asked.pieces_mm && std::any_of(asked.pieces_mm->begin(), asked.pieces_mm->end(),
                                                            [](double mm) { return !(mm > 0.0); });
        if (!stack || no_shim) {
            settings.shims_mm[key] = asked.pieces_mm.value_or(Shims{});  // the settings say what is wrong with it
            continue;
        }
        asked.total_mm = asked.pieces_mm ? sum(*asked.pieces_mm) : stack->total_mm() + std::get<double>(wanted);
        std::string rule = std::isfinite(asked.total_mm) ? "" : "must be a finite number";
        if (rule.empty())
            if (const auto broken = broken_limit(car, find_adjuster(car, key)->corner, *adjuster, asked.total_mm))
                rule = limit_words(*broken);
        if (rule.empty())
            by_box[stack->box.empty() ? key : stack->box].push_back(std::move(asked));
        else
            problems.push_back(problem_with(key, rule));
    }
    for (const auto& [box, asked] : by_box) Packer(car.box_mm(*asked.front().stack), settings, notes).make(asked);

    Car after = car;
    for (const SettingFault& fault : put_settings(after, settings))
        problems.push_back(problem_with(fault.key, fault.limit ? limit_words(*fault.limit) : fault.rule));
    if (!problems.empty()) throw InputError(std::move(problems));
    return after;
}

}  // namespace shimwise
