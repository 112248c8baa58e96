#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "math/box_stages.hpp"
#include "shimwise/math/box_probability.hpp"
#include "shimwise/math/normal.hpp"

namespace shimwise {
namespace {

constexpr double far = 9.0;  // standard deviations; 2e-19 lies outside
constexpr double marks[] = {-far, -6.0, -3.0, 0.0, 3.0, 6.0, far};

struct Node {
    double at, weight;
};

/// Nodes and weights of Gauss and Legendre on -1..1: Newton on the polynomial's three-term recurrence.
std::vector<Node> gauss_legendre(int order) {
    std::vector<Node> nodes;
    for (int i = 1; i <= order; ++i) {
        double x = std::cos(std::numbers::pi * (i - 0.25) / (order + 0.5)), slope = 1.0;
        for (int step = 0; step < 8; ++step) {
            double value = 1.0, before = 0.0;
            for (int k = 1; k <= order; ++k) {
                const double next = ((2 * k - 1) * x * value - (k - 1) * before) / k;
                before = value;
                value = next;
            }
            slope = order * (before - x * value) / ((1.0 - x) * (1.0 + x));
            x -= value / slope;
        }
        nodes.push_back({x, 2.0 / ((1.0 - x) * (1.0 + x) * slope * slope)});
    }
    return nodes;
}

/// Between these the inner probability times the outer density is smooth: where the inner range changes its limit,
/// where a limit crosses the middle or the edges of the inner normal, and marks on the outer one.
std::vector<double> edges(const BoxStage& second, const Range& outer) {
    struct Line {
        double start, slope;
    };
    std::vector<Line> lines;
    for (const BoxLimit& limit : second)
        for (const double end : {limit.low, limit.high})
            if (std::isfinite(end)) lines.push_back({end / limit.own, limit.before[0] / limit.own});
    std::vector<double> found = {outer.least, outer.most};
    const auto add = [&](double point) {  // division by zero gives no point inside
        if (point > outer.least && point < outer.most) found.push_back(point);
    };
    for (const double mark : marks) add(mark);
    for (const Line& line : lines) {
        for (const double mark : marks) add((line.start - mark) / line.slope);
        for (const Line& other : lines) add((line.start - other.start) / (line.slope - other.slope));
    }
    std::sort(found.begin(), found.end());
    found.erase(std::unique(found.begin(), found.end()), found.end());
    return found;
}

double integral(const BoxStage& second, const std::vector<double>& edges, const std::vector<Node>& nodes) {
    double sum = 0.0;
    for (std::size_t i = 1; i < edges.size(); ++i) {
        const double middle = 0.5 * (edges[i] + edges[i - 1]), half = 0.5 * (edges[i] - edges[i - 1]);
        for (const Node& node : nodes) {
            const double w = middle + half * node.at;
            const Range inner = range(second, {&w, 1});
            sum += half * node.weight * normal_between(inner.least, inner.most) * std::exp(-0.5 * w * w);
        }
    }
    return sum / std::sqrt(2.0 * std::numbers::pi);
}

}  // namespace

BoxProbability box_of_two(const std::vector<BoxStage>& stages) {
    static const std::vector<Node> fine = gauss_legendre(40), coarse = gauss_legendre(28);
    Range outer = range(stages[0], {});
    outer = {std::max(outer.least, -far), std::min(outer.most, far)};
    if (!(outer.least < outer.most)) return {0.0, 1e-15};
    const std::vector<double> between = edges(stages[1], outer);
    const double value = integral(stages[1], between, fine);
    return {std::min(value, 1.0), std::abs(value - integral(stages[1], between, coarse)) + 1e-14};
}

}  // namespace shimwise
