// NumPy's legacy generator (numpy.random.seed, rand, randn): published problems are stated in its numbers, and its bits
// are the same on every machine, unlike those of the standard library's distributions.
#pragma once

#include <cmath>
#include <optional>
#include <random>

class NumpyLegacy {
public:
    explicit NumpyLegacy(unsigned seed) : engine_(seed) {}

    /// Uniform in [0, 1), 53 bits of two draws.
    double rand() {
        const auto high = static_cast<double>(engine_() >> 5), low = static_cast<double>(engine_() >> 6);
        return (high * 67108864.0 + low) / 9007199254740992.0;
    }

    /// Standard normal by Marsaglia's polar method; the second of the pair first.
    double randn() {
        if (waiting_) {
            const double value = *waiting_;
            waiting_.reset();
            return value;
        }
        double x1 = 0.0, x2 = 0.0, r2 = 0.0;
        do {
            x1 = 2.0 * rand() - 1.0;
            x2 = 2.0 * rand() - 1.0;
            r2 = x1 * x1 + x2 * x2;
        } while (r2 >= 1.0 || r2 == 0.0);
        const double f = std::sqrt(-2.0 * std::log(r2) / r2);
        waiting_ = f * x1;
        return f * x2;
    }

private:
    std::mt19937 engine_;
    std::optional<double> waiting_;
};
