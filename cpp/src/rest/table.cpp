#include "shimwise/rest/table.hpp"

#include "motion/steps.hpp"
#include "rest/rates.hpp"
#include "shimwise/error.hpp"
#include "shimwise/rest/solid.hpp"

namespace shimwise {

using Eigen::Index;

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

namespace {

/// `stands(model)`: the state with other settings.
template <class Stands>
void fill(RestTable& table, const RestModel& m, const Eigen::MatrixXd& rates, const Stands& stands) {
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
                std::vector<double> change = row(stands(after).values, table.outputs);
                for (std::size_t o = 0; o < change.size(); ++o) change[o] -= now[o];
                table.rows.push_back({v, per, amount_mm, std::move(change)});
            } catch (const OutOfReach& failure) {
                table.left_out.push_back(variable.key + ", " + std::string(row_name(adjuster, per)) + ": " +
                                         failure.what());
            }
        }
        derivative(Per::mm, 1.0);
    }
}

}  // namespace

RestTable rest_table(const RestModel& m, const PadHeights& pads_mm) {
    RestTable table = {rest(m, pads_mm), rest_outputs(m), rest_variables(m), {}, {}};
    const Eigen::MatrixXd rates = rest_rates(m, table.state, pads_mm, table.outputs, table.variables);
    fill(table, m, rates, [&](const RestModel& after) { return rest(after, pads_mm); });
    return table;
}

RestTable solid_table(const RestModel& m, const PadHeights& pads_mm, const StrutLengths& struts_mm) {
    RestTable table = {on_solid_struts(m, pads_mm, struts_mm).stands, solid_outputs(m), rest_variables(m), {}, {}};
    const Eigen::MatrixXd rates = solid_rates(m, table.state, pads_mm, table.outputs, table.variables);
    fill(table, m, rates, [&](const RestModel& after) { return on_solid_struts(after, pads_mm, struts_mm).stands; });
    return table;
}

}  // namespace shimwise
