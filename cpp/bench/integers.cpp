#include "integers.hpp"

#include <random>

namespace bench {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int problem_count = 100;
volatile double sink = 0.0;     // where results go, so that none is left out
constexpr double ridge = 1e-3;  // what a squared step costs, as in a plan: a millionth

struct Shape {
    int unknowns, outputs;
    int most_steps;      // each way
    double reach;        // of the real optimum, in steps
    double twin_offset;  // the later half of the unknowns is the first half, but for this much; 0: no twins
};

/// Each unknown moves one output most and the others a little, as adjusters do; the optimum is no whole number.
IntegerProblem problem(const Shape& s, std::mt19937& random) {
    std::normal_distribution<double> normal;
    MatrixXd effect(s.outputs, s.unknowns);
    for (Index i = 0; i < s.unknowns; ++i)
        for (Index r = 0; r < s.outputs; ++r) effect(r, i) = (i % s.outputs == r ? 1.0 : 0.4) * normal(random);
    if (s.twin_offset > 0.0)
        for (Index i = s.unknowns / 2; i < s.unknowns; ++i)
            effect.col(i) = effect.col(i - s.unknowns / 2) + s.twin_offset * effect.col(i);
    VectorXd real(s.unknowns);
    for (double& x : real) x = s.reach * normal(random);
    IntegerProblem p{MatrixXd(s.outputs + s.unknowns, s.unknowns), VectorXd::Zero(s.outputs + s.unknowns), {}};
    p.A << effect, ridge * MatrixXd::Identity(s.unknowns, s.unknowns);
    p.b.head(s.outputs) = effect * real;
    p.allowed.assign(static_cast<std::size_t>(s.unknowns), shimwise::whole_numbers(-s.most_steps, s.most_steps));
    return p;
}

IntegerKind kind(std::string name, std::string what, const Shape& shape) {
    std::mt19937 random(7);
    IntegerKind k{std::move(name), std::move(what), {}};
    for (int i = 0; i < problem_count; ++i) k.problems.push_back(problem(shape, random));
    return k;
}

double best_and_second(const IntegerProblem& p) {
    return shimwise::integer_least_squares(p.A, p.b, p.allowed, 2, 1'000'000'000).best.back().cost;
}

}  // namespace

std::vector<IntegerKind> integer_kinds() {
    return {
        kind("integers_12", "12 whole numbers of -8 to 8, 12 outputs", {12, 12, 8, 3.0, 0.0}),
        kind("integers_16", "16 whole numbers of -8 to 8, 16 outputs", {16, 16, 8, 3.0, 0.0}),
        kind("integers_boxes", "16 whole numbers of -1 to 1, 16 outputs, limits bind", {16, 16, 1, 3.0, 0.0}),
        kind("integers_twins", "12 whole numbers of -8 to 8, 12 outputs, in pairs nearly alike",
             {12, 12, 8, 3.0, 0.25}),
    };
}

std::vector<Row> integer_rows() {
    std::vector<Row> rows;
    for (IntegerKind& k : integer_kinds())
        rows.push_back({.name = k.name,
                        .what = "best and runner-up, " + k.what,
                        .run =
                            [problems = std::move(k.problems)](long states) {
                                double sum = 0.0;
                                for (long i = 0; i < states; ++i)
                                    sum += best_and_second(problems[static_cast<std::size_t>(i) % problems.size()]);
                                sink = sum;
                            },
                        .states = problem_count});
    return rows;
}

}  // namespace bench
