// The two failures: bad input, with every problem of a file at once, and a state that cannot be reached.
#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

namespace shimwise {

/// One fault of one file. Parts that do not apply are empty or 0.
struct Problem {
    std::string file;
    int line = 0;
    int column = 0;
    std::string field;  // "front_left.track_rod.inner"
    std::string value;  // as written
    std::string rule;   // "needs 3 numbers (x, y, z in mm)"
};

/// "wren.toml:41:9: front_left.track_rod.inner = [70.0, 225.0]: needs 3 numbers (x, y, z in mm)"
std::string sentence(const Problem& problem);

/// Bad input. what() has one sentence per problem, each on a line of its own; of more than 40 the first, and how many
/// more there are: those of `problems`, and `left_out`.
class InputError : public std::runtime_error {
public:
    explicit InputError(std::vector<Problem> problems, std::size_t left_out = 0);
    const std::vector<Problem>& problems() const noexcept { return problems_; }

private:
    std::vector<Problem> problems_;
};

/// What was asked cannot be reached; what() says why and by how much.
class OutOfReach : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

}  // namespace shimwise
