#include "shimwise/rest/rates.hpp"

#include "rest/kernel_input.hpp"
#include "rest/rates_along.hpp"
#include "rest/system.hpp"

namespace shimwise {
namespace {

using namespace rest_system;
using Eigen::Index;
using Seeded = Dual<Block4, 3>;
constexpr Index at_once = 12;

/// The standing car along `count` directions.
Standing<Seeded> standing(const Posture& at, const PadHeights& pads_mm, const std::vector<RestVariable>& variables,
                          const Eigen::MatrixXd& unknowns_by, Index first, Index count) {
    const auto along = [&](double value, Index row) {
        Seeded x(value);
        for (Index i = 0; i < count; ++i) x.d[i / 4][i % 4] = unknowns_by(row, first + i);
        return x;
    };
    Standing<Seeded> s;
    s.height = along(at.pose.height_mm, height);
    s.pitch = along(at.pose.pitch_rad, pitch);
    s.roll = along(at.pose.roll_rad, roll);
    s.twist = along(at.pose.twist_rad, twist);
    for (std::size_t c = 0; c < corner_count; ++c) {
        s.half_tan[c] = along(at.half_tan[c], of(half_tan, c));
        s.load_N[c] = along(at.load_N[c], of(load, c));
        s.pad_mm[c] = pads_mm[c];
    }
    for (Index i = 0; i < count; ++i)
        if (const RestVariable& v = variables[static_cast<std::size_t>(first + i)]; v.of == RestVariable::Of::pad)
            s.pad_mm[v.corner].d[i / 4][i % 4] = 1.0;
    return s;
}

/// Values of a corner at rest and their derivatives by its half tangent, by the x and y of what is up there, and by its
/// settings, the rack's travel after its adjusters.
struct CornerRates {
    std::array<double, standing_rows> values{};
    std::vector<std::array<double, by_setting>> by_local;
    Eigen::MatrixXd by_setting_mm;              // rows, settings
    std::array<Outputs<double>, 2> by_plumb{};  // through the contact, by the x and y of plumb
};

/// The contact moves along the rim as plumb turns, and what is measured to it moves along.
std::array<Outputs<double>, 2> by_plumb(const CornerRates& k, const Frame& ground, double left) {
    const auto tangent = [&](Output angle) { return -std::tan(k.values[index(angle)] * rad_per_deg); };
    const AxisLean<double> lean = {tangent(Output::caster), tangent(Output::kingpin_inclination)};
    const auto along = [&](Local way) {
        const auto slip = [&](std::size_t row) { return k.by_local[contact_row + row][way]; };
        Outputs<double> measured{};
        measure_to({slip(0), slip(1), slip(2)}, ground, left, lean, {0.0, 0.0, 0.0}, measured);
        return measured;
    };
    return {along(by_pitch), along(by_roll)};
}

CornerRates corner_rates(const RestModel& m, const RestState& state, const Vec3<double>& normal, std::size_t c) {
    const std::size_t count = settings_of(m, c);
    CornerRates k;
    k.by_local.resize(standing_rows);
    k.by_setting_mm.resize(standing_rows, static_cast<Index>(count));
    std::size_t first = 0;
    do {
        RestInput in = rest_input(m, c, state.corners[c].half_tan, first);
        in.plumb = state.corners[c].plumb;
        in.normal = normal;
        std::array<double, standing_rows * table_locals> rates;
        rest_kernel().standing(in, k.values.data(), rates.data());
        for (std::size_t row = 0; row < standing_rows; ++row) {
            const double* by = rates.data() + row * table_locals;
            std::copy_n(by, by_setting, k.by_local[row].begin());
            for (std::size_t a = first; a < std::min(count, first + table_settings); ++a)
                k.by_setting_mm(static_cast<Index>(row), static_cast<Index>(a)) = by[by_setting + a - first];
        }
        first += table_settings;
    } while (first < count);
    k.by_plumb = by_plumb(k, frame_over(normal), m.setups[c].geometry.left);
    return k;
}

/// A corner as `values_of` asks for it, to first order along the directions of one pass.
struct LinearCorner {
    const CornerRates* rates = nullptr;
    const StrutLoad* load = nullptr;
    Seeded half_tan;
    std::vector<std::pair<Index, Index>> own;  // place in the pass, setting

    Seeded row(std::size_t row, const Vec3<Seeded>& up) const {
        const auto& by = rates->by_local[row];
        Seeded x(rates->values[row]);
        for (std::size_t i = 0; i < 3; ++i)
            x.d[i] = half_tan.d[i] * by[by_half_tan] + up.x.d[i] * by[by_pitch] + up.y.d[i] * by[by_roll];
        for (const auto& [place, setting] : own)
            x.d[place / 4][place % 4] += rates->by_setting_mm(static_cast<Index>(row), setting);
        return x;
    }
    Vec3<Seeded> vector(std::size_t first, const Vec3<Seeded>& up) const {
        return {row(first, up), row(first + 1, up), row(first + 2, up)};
    }
    Vec3<Seeded> contact(const Vec3<Seeded>& plumb) const { return vector(contact_row, plumb); }
    CornerValues<Seeded> values(const Vec3<Seeded>& normal, const Vec3<Seeded>& plumb) const {
        CornerValues<Seeded> v;
        for (std::size_t o = 0; o < output_count; ++o) v.outputs[o] = row(o, normal);
        for (const Output measured : {Output::trail, Output::scrub, Output::half_track, Output::chassis_height})
            for (std::size_t i = 0; i < 3; ++i)
                v.outputs[index(measured)].d[i] += plumb.x.d[i] * rates->by_plumb[0][index(measured)] +
                                                   plumb.y.d[i] * rates->by_plumb[1][index(measured)];
        const Seeded length = row(spring_length_row, normal), platform = row(platform_row, normal);
        const Seeded shorter = length.v - length, squeezed = shorter + (platform - platform.v);
        v.spring_N = squeezed * load->spring_N_per_mm + load->spring_N;
        v.rubber_N = shorter * load->rubber_N_per_mm + load->rubber_N;
        v.bar_rad = row(bar_row, normal);
        v.third = vector(third_row, normal);
        v.inclination_to_plumb_deg = row(inclination_to_plumb_row, plumb);
        return v;
    }
};

}  // namespace

std::vector<RestVariable> rest_variables(const RestModel& m) {
    using Of = RestVariable::Of;
    std::vector<RestVariable> all;
    for (std::size_t c = 0; c < corner_count; ++c)
        for (std::size_t a = 0; a < m.car.corners[c].adjusters.size(); ++a)
            all.push_back(
                {Of::adjuster, std::string(corner_names[c]) + "." + m.car.corners[c].adjusters[a].name, c, a});
    for (std::size_t c = 0; c < corner_count; ++c)
        all.push_back({Of::pad, "pad." + std::string(corner_names[c]), c, 0});
    for (std::size_t w = 1; w < m.weights.size(); ++w)
        all.push_back({Of::ballast, "ballast." + m.weights[w].name, 0, w});
    if (m.has_rack()) all.push_back({Of::rack, "rack", 0, 0});
    return all;
}

Eigen::MatrixXd rest_rates(const RestModel& m, const RestState& state, const PadHeights& pads_mm) {
    return rest_rates(m, state, pads_mm, rest_outputs(m), rest_variables(m));
}

Eigen::MatrixXd rest_rates(const RestModel& m, const RestState& state, const PadHeights& pads_mm,
                           const std::vector<ValueId>& outputs, const std::vector<RestVariable>& variables) {
    if (const auto kept = with_contacts_of(m, state)) return rest_rates(*kept, state, pads_mm, outputs, variables);
    const Posture at = posture(state);
    const Eigen::MatrixXd unknowns_by = solve_all(system(m, set_corners(m), at, pads_mm).matrix, -by_parameters(m, at));
    return rates_along(m, state, pads_mm, unknowns_by, outputs, variables);
}

Eigen::MatrixXd rates_along(const RestModel& m, const RestState& state, const PadHeights& pads_mm,
                            const Eigen::MatrixXd& unknowns_by, const std::vector<ValueId>& outputs,
                            const std::vector<RestVariable>& variables) {
    const Posture at = posture(state);
    std::array<CornerRates, corner_count> corners;
    for (std::size_t c = 0; c < corner_count; ++c) corners[c] = corner_rates(m, state, state.corners[c].normal, c);

    Eigen::MatrixXd rates(outputs.size(), variables.size());
    for (Index first = 0; first < rates.cols(); first += at_once) {
        const Index count = std::min(at_once, rates.cols() - first);
        const Standing<Seeded> s = standing(at, pads_mm, variables, unknowns_by, first, count);
        std::array<LinearCorner, corner_count> linear;
        for (std::size_t c = 0; c < corner_count; ++c) {
            linear[c] = {&corners[c], &state.corners[c].load, s.half_tan[c], {}};
            for (Index i = 0; i < count; ++i)
                if (const auto own = setting_of(m, variables[static_cast<std::size_t>(first + i)], c))
                    linear[c].own.emplace_back(i, static_cast<Index>(*own));
        }
        const RestValues<Seeded> values = values_of(m, s, ground_under(s, linear), linear);
        for (std::size_t o = 0; o < outputs.size(); ++o) {
            const Seeded along = value(values, outputs[o]);
            for (Index i = 0; i < count; ++i)
                rates(static_cast<Index>(o), first + i) = along.d[i / 4][i % 4] + 0.0;  // no -0
        }
    }
    return rates;
}

}  // namespace shimwise
