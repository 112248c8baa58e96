#include "shimwise/workshop/measure/settled.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "shimwise/units.hpp"
#include "shimwise/workshop/measure/input_quantities.hpp"
#include "workshop/files/repeated.hpp"

namespace shimwise {
namespace {

/// A value of one place in one set, and the variance that its instrument gives it.
struct InSet {
    double value = 0.0;
    double variance = 0.0;
};

/// The last digit of a car that stands elsewhere falls elsewhere: between sets it is no longer shared.
InSet read(const std::vector<double>& all, double resolution, double repeatability) {
    const double hand = repeatability / std::sqrt(static_cast<double>(all.size()));
    return {mean(all), std::pow(Spread{resolution, hand}.standard(), 2)};
}

/// Sum of factor times reading, in each set in which all of them were read.
struct Term {
    double factor;
    std::string reading;
    double resolution, repeatability;
};
std::vector<InSet> in_sets(const Readings& readings, const std::vector<Term>& terms) {
    std::vector<InSet> all;
    for (std::size_t set = 0;; ++set) {
        InSet sum;
        bool complete = true;
        for (const Term& term : terms) {
            const auto found = readings.anew.find(term.reading);
            if (found == readings.anew.end() || set >= found->second.size()) return all;
            const std::vector<double>& here = found->second[set];
            complete = complete && !here.empty();
            if (!complete) break;
            const InSet one = read(here, term.resolution, term.repeatability);
            sum.value += term.factor * one.value;
            sum.variance += term.factor * term.factor * one.variance;
        }
        if (complete) all.push_back(sum);
    }
}

/// Pools places one by one.
class Pool {
public:
    Pool(Settles what, double of_file) : of_file_(of_file) { settled_.what = what; }

    void add(const std::vector<InSet>& place) {
        if (place.size() < 2) return;
        double sum = 0.0;
        for (const InSet& one : place) sum += one.value;
        const double middle = sum / static_cast<double>(place.size());
        for (const InSet& one : place) {
            squares_ += std::pow(one.value - middle, 2);
            instruments_ += one.variance * static_cast<double>(place.size() - 1) / static_cast<double>(place.size());
        }
        settled_.degrees += place.size() - 1;
        settled_.sets = std::max(settled_.sets, place.size());
    }

    /// `also`: variance that something else of the car makes.
    std::optional<Settled> take(double also = 0.0) {
        if (settled_.degrees == 0) return std::nullopt;
        Settled s = settled_;
        const auto degrees = static_cast<double>(s.degrees);
        s.between = squares_ / degrees;
        s.by_instruments = instruments_ / degrees + also;
        s.of_file = of_file_;
        const double weight = of_file_ > 0.0 ? settlings_of_file : 0.0;
        const double seen = std::max(0.0, s.between - s.by_instruments);
        s.counts = std::sqrt((weight * of_file_ * of_file_ + degrees * seen) / (weight + degrees));
        if (s.sets < least_sets) s.counts = std::max(s.counts, of_file_);
        return s;
    }

private:
    Settled settled_;
    double of_file_, squares_ = 0.0, instruments_ = 0.0;
};

std::string of_wheel(std::size_t c, const char* what) { return std::string(corner_names[c]) + "." + what; }

}  // namespace

double wheel_centres_apart_mm(const Car& car) {
    const auto x = [&car](CornerId id) { return car[id].at(Point::wheel_centre).x; };
    return 0.5 *
           (x(CornerId::front_left) + x(CornerId::front_right) - x(CornerId::rear_left) - x(CornerId::rear_right));
}

std::vector<Settled> settled(const Readings& readings, const Car& car) {
    std::vector<Settled> all;
    if (readings.anew.empty()) return all;
    const Instruments& with = car.instruments;
    const Settling& file = car.settling;
    Pool toe(Settles::toe, file.toe_deg), camber(Settles::camber, file.camber_deg),
        height(Settles::ride_height, file.ride_height_mm), warp(Settles::warp, file.warp_kg);
    std::vector<Term> scales;
    for (std::size_t c = 0; c < corner_count; ++c) {
        const double per_mm = deg_per_rad / car.corners[c].wheel.flag_span_mm;
        const auto flag = [&](double factor, const char* which) {
            return Term{factor, of_wheel(c, which), with.flag_ruler.resolution_mm, with.flag_ruler.repeatability_mm};
        };
        toe.add(in_sets(readings, {flag(per_mm, "flags.front"), flag(-per_mm, "flags.rear")}));
        const bool turned = readings.anew.contains(of_wheel(c, "camber.turned"));
        const auto gauge = [&](double factor, const char* which) {
            return Term{factor, of_wheel(c, which), with.camber_gauge.resolution_deg,
                        with.camber_gauge.repeatability_deg};
        };
        camber.add(in_sets(readings, turned ? std::vector{gauge(0.5, "camber.facing"), gauge(-0.5, "camber.turned")}
                                            : std::vector{gauge(1.0, "camber.facing")}));
        scales.push_back({c == 0 || c == 3 ? 0.25 : -0.25, of_wheel(c, "scale"), with.scale.resolution_kg,
                          with.scale.repeatability_kg});
    }
    for (const RideHeightPoint& point : car.ride_heights)
        height.add(in_sets(readings, {{1.0, "ride_height." + point.name, with.height_gauge.resolution_mm,
                                       with.height_gauge.repeatability_mm}}));
    warp.add(in_sets(readings, scales));
    double yaw = 0.0;
    if (!car.strings.on_car) {
        const double per_axle = file.lateral_mm / wheel_centres_apart_mm(car) * deg_per_rad;
        yaw = 2.0 * per_axle * per_axle;
    }
    for (const std::optional<Settled>& one : {toe.take(yaw), camber.take(), height.take(), warp.take()})
        if (one) all.push_back(*one);
    return all;
}

Settling settling(const Readings& readings, const Car& car) {
    Settling counts = car.settling;
    for (const Settled& one : settled(readings, car)) {
        if (one.what == Settles::toe) counts.toe_deg = one.counts;
        if (one.what == Settles::camber) counts.camber_deg = one.counts;
        if (one.what == Settles::ride_height) counts.ride_height_mm = one.counts;
        if (one.what == Settles::warp) counts.warp_kg = one.counts;
    }
    return counts;
}

}  // namespace shimwise
