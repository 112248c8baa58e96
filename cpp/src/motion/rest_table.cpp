#include "shimwise/motion/rest_table.hpp"

#include <Eigen/LU>

#include "motion/rest_system.hpp"
#include "motion/steps.hpp"
#include "shimwise/error.hpp"

namespace shimwise {
namespace {

using namespace rest_system;
using Eigen::Index;
using Seeded = Dual<Block4, 3>;
constexpr Index at_once = 12;

/// The standing car along `count` directions: how the unknowns go, and the variable that is turned.
Standing<Seeded> standing(const RestModel& m, const Posture& at, const PadHeights& pads_mm,
                          const std::vector<RestVariable>& variables, const Eigen::MatrixXd& unknowns_by, Index first,
                          Index count) {
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
        s.arm[c] = along(at.arm[c], of(arm, c));
        s.load_N[c] = along(at.load_N[c], of(load, c));
        s.pad_mm[c] = pads_mm[c];
        s.amounts_mm[c].assign(m.setups[c].amounts_mm.begin(), m.setups[c].amounts_mm.end());
    }
    for (Index i = 0; i < count; ++i) {
        const RestVariable& v = variables[static_cast<std::size_t>(first + i)];
        if (v.of == RestVariable::Of::adjuster) s.amounts_mm[v.corner][v.index].d[i / 4][i % 4] = 1.0;
        if (v.of == RestVariable::Of::pad) s.pad_mm[v.corner].d[i / 4][i % 4] = 1.0;
    }
    return s;
}

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
    return all;
}

Eigen::MatrixXd rest_rates(const RestModel& m, const RestState& state, const PadHeights& pads_mm) {
    const Posture at = posture(state);
    const std::vector<RestVariable> variables = rest_variables(m);
    const std::vector<RestOutput> outputs = rest_outputs(m);
    const Eigen::MatrixXd unknowns_by = system(m, at, pads_mm).matrix.partialPivLu().solve(-by_parameters(m, at));
    Eigen::MatrixXd rates(outputs.size(), variables.size());
    for (Index first = 0; first < rates.cols(); first += at_once) {
        const Index count = std::min(at_once, rates.cols() - first);
        const auto values = values_of(m, standing(m, at, pads_mm, variables, unknowns_by, first, count));
        for (std::size_t o = 0; o < outputs.size(); ++o)
            for (Index i = 0; i < count; ++i)
                rates(static_cast<Index>(o), first + i) = value(values, outputs[o]).d[i / 4][i % 4] + 0.0;  // no -0
    }
    return rates;
}

RestTable rest_table(const RestModel& m, const PadHeights& pads_mm) {
    RestTable table;
    table.state = rest(m, pads_mm);
    table.outputs = rest_outputs(m);
    table.variables = rest_variables(m);
    const Eigen::MatrixXd rates = rest_rates(m, table.state, pads_mm);
    const std::vector<double> now = row(table.state.values, table.outputs);

    for (std::size_t v = 0; v < table.variables.size(); ++v) {
        const RestVariable& variable = table.variables[v];
        const auto derivative = [&](Per per, double amount) {
            const Eigen::VectorXd column = rates.col(static_cast<Index>(v)) * amount;
            table.rows.push_back({v, per, amount, {column.begin(), column.end()}});
        };
        if (variable.of != RestVariable::Of::adjuster) {
            derivative(variable.of == RestVariable::Of::pad ? Per::mm : Per::kg, 1.0);
            continue;
        }
        const Adjuster& adjuster = m.car.corners[variable.corner].adjusters[variable.index];
        if (const Thread* thread = adjuster.thread()) derivative(Per::turn, thread->lead_mm());
        for (const auto& [per, amount_mm] : steps_of(m.car, adjuster)) {
            RestModel after = m;
            after.setups[variable.corner].amounts_mm[variable.index] += amount_mm;
            try {
                std::vector<double> change = row(rest(after, pads_mm).values, table.outputs);
                for (std::size_t o = 0; o < change.size(); ++o) change[o] -= now[o];
                table.rows.push_back({v, per, amount_mm, std::move(change)});
            } catch (const OutOfReach& failure) {
                table.left_out.push_back(variable.key + ", " + std::string(row_name(adjuster, per)) + ": " +
                                         failure.what());
            }
        }
        derivative(Per::mm, 1.0);
    }
    return table;
}

}  // namespace shimwise
