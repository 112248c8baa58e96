// How a card says amounts: flats and turns, shims and packs, flags. A plain sign is never shown alone. amounts.hpp
// reads what a person writes.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shimwise/model/adjuster.hpp"
#include "shimwise/workshop/stack_choice.hpp"

namespace shimwise {

/// "1 1/2 flats longer (0.25 turn)", "1 half turn shorter (0.5 turn)", "3 twelfths of a turn toward the spring (0.25
/// turn)", "0.35 turn longer": flats where the thread locks anywhere or on a flat and the amount is whole quarter
/// flats.
std::string turns_words(const Adjuster& adjuster, double turns);

/// "clockwise, seen from its outer end": which way round a rod is turned; empty where nobody said which of its ends has
/// the left-hand thread.
std::string way_round_words(const Thread& thread, double turns);

/// "1/4 flat", "1 half turn", "1/12 turn": turns without their way, as `turns_words` counts them.
std::string count_words(const Thread& thread, double turns);

/// "remove the 1.0 mm shim, add 0.5 mm and 0.2 mm: pack 2.0 + 0.5 + 0.2 mm"
std::string shims_words(const StackChoice& choice);

/// "chassis height": a name of a list read aloud.
std::string spaced_words(std::string_view name);

/// "a, b and c".
std::string listed_words(const std::vector<std::string>& words);

/// "0.5 mm thicker"; "0.5 mm thinner (2.5 mm in all)" where the total is given.
std::string thickness_words(double change_mm, std::optional<double> total_mm = {});

/// "2.0 + 0.5 mm"; "no shim" where there is none.
std::string pack_words(std::vector<double> shims_mm);

/// Front flag less rear flag: "0.3 mm more at the front"; "equal" where one decimal shows no difference.
std::string flags_words(double difference_mm);

/// "375.3 mm", "0.5 mm": as many decimals as it needs, one to three.
std::string mm_words(double mm);

/// A number with a fixed count of decimals, never "-0.00".
std::string fixed_words(double value, int decimals);

/// The same with its sign, "+0.10": for a value whose sign the line explains.
std::string signed_words(double value, int decimals);

}  // namespace shimwise
