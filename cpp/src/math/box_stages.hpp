// A block of a box under a correlated normal, written in independent standard normals.
#pragma once

#include <span>
#include <vector>

namespace shimwise {

struct Range {
    double least, most;
};

/// low <= before . earlier normals + own * this one <= high.
struct BoxLimit {
    std::vector<double> before;
    double own, low, high;
};

/// The limits that stand at one independent normal: the last one that they need. Never none.
using BoxStage = std::vector<BoxLimit>;

/// Least and most of a stage's normal, given those before it; in the wrong order where nothing is left.
Range range(const BoxStage& stage, std::span<const double> earlier);

struct BoxProbability;
BoxProbability box_of_two(const std::vector<BoxStage>& stages);
BoxProbability box_of_many(const std::vector<BoxStage>& stages, double accuracy);

}  // namespace shimwise
