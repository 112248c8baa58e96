#include "shimwise/workshop/choose/instead.hpp"

#include "shimwise/error.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/choose/tried.hpp"
#include "shimwise/workshop/words.hpp"

namespace shimwise {
namespace {

const Adjuster& at(const Car& car, const AdjusterPlace& place) { return car[place.corner].adjusters[place.adjuster]; }

Car turned_instead(Car after, const std::string& key, const Thread& before, const Amount& amount) {
    Settings settings;
    settings.car = after.name;
    settings.turns[key] = turns_from_drawn(amount, before);
    return with_settings(std::move(after), settings);
}

/// The shims of a pack that was said by its thickness: from those at hand, or as one piece.
std::vector<double> made(const Car& after, const AdjusterPlace& place, const std::string& key,
                         const std::variant<double, std::vector<double>>& wanted, std::vector<std::string>& notes) {
    Trial trial;
    trial.packs_mm[key] = wanted;
    return at(tried(after, trial, notes), place).stack()->fitted_mm;
}

/// Whether the box and the pack itself hold these shims.
bool in_box(const Car& car, const Stack& stack, const std::vector<double>& shims_mm) {
    std::vector<double> pool_mm = car.box_mm(stack);
    pool_mm.insert(pool_mm.end(), stack.fitted_mm.begin(), stack.fitted_mm.end());
    return !take(pool_mm, shims_mm);
}

}  // namespace

Car done_instead(const Car& before, const Car& after, const std::string& key, const Words& words,
                 std::vector<std::string>& notes) {
    const auto place = find_adjuster(before, key);
    if (!place) throw InputError({{"", 0, 0, key, "", "is no adjuster of " + before.name}});
    const Adjuster& was = at(before, *place);
    const Amount said = amount(key, was, words);
    if (const Thread* thread = was.thread()) {
        if (!said.from_said) {
            const std::string text = std::get<std::string>(words.said);
            throw InputError({{"", 0, 0, key, words.shown,
                               "which way? Write +" + text + " or -" + text +
                                   " from how it stood before the card, or =" + text + " from as drawn"}});
        }
        const std::string note = not_locked_words(key, was, turns_from_now(said, *thread));
        if (!note.empty()) notes.push_back(note);
        return turned_instead(after, key, *thread, said);
    }
    std::vector<double> shims_mm;
    if (!said.shims_mm) {
        shims_mm = made(after, *place, key, was.stack()->total_mm() + said.size - at(after, *place).stack()->total_mm(),
                        notes);
    } else if (in_box(after, *at(after, *place).stack(), *said.shims_mm)) {
        shims_mm = *said.shims_mm;
    } else if (said.shims_mm->size() == 1) {
        shims_mm = made(after, *place, key, *said.shims_mm, notes);
    } else {
        shims_mm = *said.shims_mm;
        notes.push_back(key + ": not all of " + pack_words(shims_mm) +
                        " is in its box. It is written down as fitted; correct the box if one of them was ground.");
    }
    return refit(after, place->corner, was.name, shims_mm);
}

}  // namespace shimwise
