#include "shimwise/workshop/measure/contradictions.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "math/decompositions.hpp"
#include "shimwise/math/chi_square.hpp"
#include "workshop/measure/against_model.hpp"
#include "workshop/measure/slip_words.hpp"

namespace shimwise {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double prior_none = 0.8;
constexpr double student = 50.0;

/// How people misread: the spread of any amount, and the sizes that come again and again.
struct Misread {
    SlipKind kind;
    double width;
    std::vector<double> sizes;
};
const std::map<InputKind, Misread> misreads = {
    {InputKind::flag, {SlipKind::flag, 10.0, {1.0, 10.0}}},
    {InputKind::gauge, {SlipKind::camber, 1.0, {0.1, 1.0}}},
    {InputKind::height, {SlipKind::height, 10.0, {1.0, 10.0}}},
    {InputKind::scale, {SlipKind::scale, 10.0, {1.0, 10.0}}},
    {InputKind::string_end, {SlipKind::string_end, 3.0, {2.0, 5.0, 10.0}}},
};

double log_sum(double a, double b) {
    const double most = std::max(a, b);
    return most + std::log1p(std::exp(-std::fabs(a - b)));
}

/// The whitened sheet, and the log evidence of whatever is asked.
class Test {
public:
    Test(const AgainstModel& sheet, MatrixXd L) : sheet_(sheet), L_(std::move(L)), off_(solve_lower(L_, sheet.off)) {}

    double chi_square() const { return off_.squaredNorm(); }
    double log_evidence(double chi_square) const {
        const auto n = static_cast<double>(off_.size());
        return -0.5 * (student + n) * std::log1p(chi_square / student);
    }
    VectorXd signature(const VectorXd& by) const { return solve_lower(L_, by); }

    /// `by` of any amount; what it leaves and how much it is go into `slip`.
    double amount(const VectorXd& by, const Misread& how, Slip& slip) const {
        const VectorXd g = signature(by);
        const double b = g.dot(off_), A = g.squaredNorm() + 1.0 / (how.width * how.width);
        const double left = chi_square() - b * b / A;
        slip.amount = b / g.squaredNorm();
        slip.chi_square = (off_ - slip.amount * g).squaredNorm();
        double log = std::log(0.5) + log_evidence(left) - 0.5 * std::log(how.width * how.width * A);
        const double each = std::log(0.25 / static_cast<double>(how.sizes.size()));
        for (const double size : how.sizes)
            for (const double amount : {size, -size})
                log = log_sum(log, each + log_evidence((off_ - amount * g).squaredNorm()));
        return log;
    }

    /// A slip that changed the sheet by this much and no other.
    double point(const VectorXd& change, Slip& slip) const {
        slip.chi_square = (off_ - signature(change)).squaredNorm();
        return log_evidence(slip.chi_square);
    }

    /// Every setting is another one, and every load.
    double settings(Slip& slip) const {
        const Index n = sheet_.by_settings.cols(), values = off_.size();
        MatrixXd A(values + n, n);
        A << solve_lower(L_, sheet_.by_settings), MatrixXd::Identity(n, n);
        VectorXd b = VectorXd::Zero(values + n);
        b.head(values) = off_;
        const Triangle least = triangle(A, b);
        slip.chi_square = least.rest;
        return log_evidence(least.rest) - least.R.diagonal().array().abs().log().sum();
    }

private:
    const AgainstModel& sheet_;
    MatrixXd L_;
    VectorXd off_;
};

/// Explanations before they are weighed, by kind and place.
struct Candidate {
    Slip slip;
    double log_evidence;
};

class Candidates {
public:
    Candidates(const Measured& measured, const AgainstModel& sheet, const Test& test)
        : measured_(measured), sheet_(sheet), test_(test) {
        amounts();
        signs();
        exchanges();
        Slip slip{.kind = SlipKind::settings};
        const double log = test.settings(slip);
        all_.push_back({slip, log});
    }

    const std::vector<Candidate>& all() const { return all_; }

private:
    bool was_read(const InputQuantity& input) const {
        if (input.kind != InputKind::string_end) return true;
        const Readings& given = measured_.given;
        return (input.key.ends_with("front") ? given.front_bar_mm : given.rear_bar_mm).has_value();
    }
    VectorXd by(std::size_t input) const { return sheet_.by_inputs.col(static_cast<Index>(input)); }
    std::optional<std::size_t> input(const std::string& key) const {
        const auto found = std::ranges::find(measured_.inputs, key, &InputQuantity::key);
        if (found == measured_.inputs.end()) return std::nullopt;
        return static_cast<std::size_t>(found - measured_.inputs.begin());
    }

    void amounts() {
        for (std::size_t i = 0; i < measured_.inputs.size(); ++i) {
            const InputQuantity& input = measured_.inputs[i];
            const auto how = misreads.find(input.kind);
            if (how == misreads.end() || by(i).isZero() || !was_read(input)) continue;
            Slip slip{.kind = how->second.kind, .inputs = {input.key}, .unit = input.unit};
            const double log = test_.amount(by(i), how->second, slip);
            all_.push_back({slip, log});
        }
    }

    void signs() {
        for (std::size_t i = 0; i < measured_.inputs.size(); ++i) {
            const InputQuantity& input = measured_.inputs[i];
            if (input.kind != InputKind::gauge || input.value == 0.0 || by(i).isZero()) continue;
            Slip slip{.kind = SlipKind::sign, .inputs = {input.key}};
            const double log = test_.point(2.0 * input.value * by(i), slip);
            all_.push_back({slip, log});
        }
    }

    /// What these exchanged pairs of readings changed.
    void exchange(SlipKind kind, const std::vector<std::pair<std::string, std::string>>& pairs) {
        Slip slip{.kind = kind};
        VectorXd change = VectorXd::Zero(sheet_.off.size());
        for (const auto& [one, other] : pairs) {
            const auto a = input(one), b = input(other);
            if (!a || !b) return;
            const double apart = measured_.inputs[*a].value - measured_.inputs[*b].value;
            change += apart * (by(*a) - by(*b));
            slip.inputs.insert(slip.inputs.end(), {one, other});
        }
        if (change.isZero()) return;
        const double log = test_.point(change, slip);
        all_.push_back({slip, log});
    }

    void exchanges() {
        for (const std::string_view wheel : corner_names)
            exchange(SlipKind::flags_exchanged,
                     {{std::string(wheel) + ".flags.front", std::string(wheel) + ".flags.rear"}});
        for (const std::string axle : {"front", "rear"}) {
            const std::string left = axle + "_left.", right = axle + "_right.";
            exchange(SlipKind::sides_exchanged,
                     {{left + "flags.front", right + "flags.front"}, {left + "flags.rear", right + "flags.rear"}});
            exchange(SlipKind::sides_exchanged, {{left + "camber.facing", right + "camber.facing"}});
            exchange(SlipKind::sides_exchanged, {{left + "scale", right + "scale"}});
        }
        const std::string height = "ride_height.", side = "_left";
        for (const InputQuantity& input : measured_.inputs)
            if (input.key.starts_with(height) && input.key.ends_with(side))
                exchange(SlipKind::sides_exchanged,
                         {{input.key, input.key.substr(0, input.key.size() - side.size()) + "_right"}});
    }

    const Measured& measured_;
    const AgainstModel& sheet_;
    const Test& test_;
    std::vector<Candidate> all_;
};

/// Prior of each candidate: evenly over kinds, then over the places of a kind.
std::vector<double> log_posterior(const std::vector<Candidate>& all) {
    std::map<SlipKind, int> places;
    for (const Candidate& one : all) ++places[one.slip.kind];
    std::vector<double> logs;
    for (const Candidate& one : all)
        logs.push_back(one.log_evidence + std::log((1.0 - prior_none) / static_cast<double>(places.size()) /
                                                   static_cast<double>(places[one.slip.kind])));
    return logs;
}

/// A lost sign and an amount at the same gauge are one explanation: the likelier of the two says it.
void one_line_a_gauge(std::vector<Slip>& slips) {
    for (Slip& sign : slips) {
        if (sign.kind != SlipKind::sign) continue;
        Slip& amount = *std::ranges::find_if(
            slips, [&sign](const Slip& s) { return s.kind == SlipKind::camber && s.inputs == sign.inputs; });
        Slip both = sign.chance > amount.chance ? sign : amount;
        both.chance = sign.chance + amount.chance;
        both.odds = sign.odds + amount.odds;
        amount = both;
        sign.chance = -1.0;
    }
    std::erase_if(slips, [](const Slip& slip) { return slip.chance < 0.0; });
}

}  // namespace

bool fits(double chi_square, int degrees) {
    return chi_square_above(chi_square / (larger_noise * larger_noise), degrees) >= explained_p;
}

std::optional<Contradictions> contradictions(const Measured& measured, const Car& car) {
    const auto sheet = against_model(measured, car);
    if (!sheet) return std::nullopt;
    const auto L = cholesky(sheet->covariance);
    if (!L) return std::nullopt;
    const Test test(*sheet, *L);
    const Candidates candidates(measured, *sheet, test);
    const double none = std::log(prior_none) + test.log_evidence(test.chi_square());
    std::vector<double> logs = log_posterior(candidates.all());
    double all = none;
    for (const double log : logs) all = log_sum(all, log);

    Contradictions found;
    found.degrees = static_cast<int>(sheet->off.size());
    found.chi_square = test.chi_square();
    found.p = chi_square_above(found.chi_square, found.degrees);
    found.fits = fits(found.chi_square, found.degrees);
    found.slips.push_back({.chance = std::exp(none - all), .chi_square = found.chi_square});
    for (std::size_t i = 0; i < logs.size(); ++i) {
        Slip slip = candidates.all()[i].slip;
        slip.odds = std::exp(std::min(logs[i] - none, 700.0));
        slip.chance = std::exp(logs[i] - all);
        found.slips.push_back(std::move(slip));
    }
    one_line_a_gauge(found.slips);
    for (Slip& slip : found.slips) slip.words = slip_words(slip);
    std::ranges::stable_sort(found.slips, std::ranges::greater{}, &Slip::chance);
    say(found);
    return found;
}

}  // namespace shimwise
