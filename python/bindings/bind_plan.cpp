#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/choose/chance.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_packs(py::module_& module) {
    value_class<StackChoice>(module, "StackChoice", "A pack of shims and what to change for it.")
        .def_readonly("total_mm", &StackChoice::total_mm)
        .def_readonly("shims_mm", &StackChoice::shims_mm)
        .def_readonly("add_mm", &StackChoice::add_mm)
        .def_readonly("remove_mm", &StackChoice::remove_mm);
    module.def("stack_choices", &stack_choices, py::arg("fitted_mm"), py::arg("box_mm"), py::arg("limits_mm"),
               "Every total that can be stacked from fitted and boxed shims within the limits, ascending.");
    module.def("stack_together", &stack_together, py::arg("fitted_of_each_mm"), py::arg("box_mm"),
               py::arg("totals_wanted_mm"),
               "Stacks that share one box, each with its wanted total at the same time; None where the shims do not.");
}

void bind_choice(py::module_& module) {
    value_class<PlannedSetting>(module, "PlannedSetting", "One adjuster of a plan.")
        .def_readonly("corner", &PlannedSetting::corner)
        .def_readonly("key", &PlannedSetting::key)
        .def_readonly("purpose", &PlannedSetting::purpose)
        .def_readonly("before", &PlannedSetting::before)
        .def_readonly("after", &PlannedSetting::after)
        .def_readonly("shims", &PlannedSetting::shims)
        .def_readonly("touched", &PlannedSetting::touched)
        .def_readonly("minutes", &PlannedSetting::minutes);
    bind_names<Asks>(module, "Asks", asks_names);
    value_class<PlannedValue>(module, "PlannedValue", "A value that a plan is judged by, or keeps.")
        .def_property_readonly("key", [](const PlannedValue& of) { return key(of.id); })
        .def_property_readonly("unit", [](const PlannedValue& of) { return info(of.id).unit; })
        .def_readonly("asks", &PlannedValue::asks)
        .def_readonly("target", &PlannedValue::target)
        .def_readonly("measured", &PlannedValue::measured)
        .def_readonly("now", &PlannedValue::now)
        .def_readonly("then", &PlannedValue::then)
        .def_readonly("deviation", &PlannedValue::deviation)
        .def_readonly("within", &PlannedValue::within);
    value_class<Proof>(module, "Proof", "Why a plan is the best one.")
        .def_readonly("combinations", &Proof::combinations)
        .def_readonly("listed", &Proof::listed)
        .def_readonly("states", &Proof::states)
        .def_readonly("model_error", &Proof::model_error)
        .def_readonly("bound", &Proof::bound)
        .def_readonly("proven", &Proof::proven);
    value_class<NextReading>(module, "NextReading", "What will be read next if the plan is done: a normal vector.")
        .def_property_readonly("keys", [](const NextReading& next) { return keys(next.ids); })
        .def_readonly("predicted", &NextReading::predicted)
        .def_readonly("lower", &NextReading::lower)
        .def_readonly("upper", &NextReading::upper)
        .def_readonly("off", &NextReading::off)
        .def_readonly("tolerance", &NextReading::tolerance)
        .def_readonly("covariance", &NextReading::covariance);
    value_class<CarValue>(module, "CarValue", "A height, weight, share or difference that was read, now and then.")
        .def_property_readonly("key", [](const CarValue& of) { return key(of.id); })
        .def_property_readonly("unit", [](const CarValue& of) { return info(of.id).unit; })
        .def_readonly("now", &CarValue::now)
        .def_readonly("then", &CarValue::then)
        .def_readonly("deviation", &CarValue::deviation);
    value_class<WholeCarChange>(module, "WholeCarChange", "Heights and weights once the car stands again.")
        .def_property_readonly("held", [](const WholeCarChange& whole) { return car_held_names[index(whole.held)]; })
        .def_readonly("why_not", &WholeCarChange::why_not)
        .def_readonly("values", &WholeCarChange::values);
    value_class<Choice>(module, "Choice", "One way to set the car.")
        .def_readonly("settings", &Choice::settings)
        .def_readonly("values", &Choice::values)
        .def_readonly("whole", &Choice::whole)
        .def_readonly("cost", &Choice::cost)
        .def_readonly("minutes", &Choice::minutes)
        .def_readonly("within", &Choice::within)
        .def_readonly("touches", &Choice::touches)
        .def_readonly("next", &Choice::next)
        .def_readonly("proof", &Choice::proof);
}

void bind_options(py::module_& module) {
    py::class_<PlanOptions>(module, "PlanOptions", "What a person wants otherwise.")
        .def(py::init<>())
        .def_readwrite("keep", &PlanOptions::keep)
        .def_readwrite("free", &PlanOptions::free)
        .def_readwrite("turn", &PlanOptions::turn)
        .def_readwrite("forbid", &PlanOptions::forbid)
        .def_readwrite("prefer", &PlanOptions::prefer)
        .def_readwrite("force", &PlanOptions::force)
        .def_readwrite("tie", &PlanOptions::tie)
        .def_readwrite("within_minutes", &PlanOptions::within_minutes)
        .def_readwrite("model_share", &PlanOptions::model_share);
}

void bind_whole_plan(py::module_& module) {
    bind_names<Which>(module, "Which", which_names);
    value_class<RunnerUp>(module, "RunnerUp", "Another way to set the car, nearly as good.")
        .def_readonly("settings", &RunnerUp::settings)
        .def_readonly("cost", &RunnerUp::cost)
        .def_readonly("minutes", &RunnerUp::minutes)
        .def_readonly("within", &RunnerUp::within);
    value_class<HeldPurpose>(module, "HeldPurpose", "Adjusters that are not turned, and what they could gain at most.")
        .def_readonly("purpose", &HeldPurpose::purpose)
        .def_readonly("keys", &HeldPurpose::keys)
        .def_readonly("gain", &HeldPurpose::gain);
    value_class<LinearPlan>(module, "LinearPlan", "The linear problem that a mixed-integer solver is asked.")
        .def_property_readonly("values", [](const LinearPlan& linear) { return keys(linear.ids); })
        .def_readonly("keys", &LinearPlan::keys)
        .def_readonly("purposes", &LinearPlan::purposes)
        .def_readonly("then_0", &LinearPlan::then_0)
        .def_readonly("lower", &LinearPlan::lower)
        .def_readonly("upper", &LinearPlan::upper)
        .def_readonly("scale", &LinearPlan::scale)
        .def_readonly("effect", &LinearPlan::effect)
        .def_readonly("allowed", &LinearPlan::allowed)
        .def_readonly("forbidden", &LinearPlan::forbidden)
        .def_readonly("held", &LinearPlan::held)
        .def_readonly("lengths", &LinearPlan::lengths)
        .def_readonly("length_low", &LinearPlan::length_low)
        .def_readonly("length_high", &LinearPlan::length_high);
    value_class<Plan>(module, "Plan", "Touch nothing, closest and least work, with their proof.")
        .def_readonly("measured", &Plan::measured)
        .def_readonly("compared", &Plan::compared)
        .def_readonly("nothing", &Plan::nothing)
        .def_readonly("closest", &Plan::closest)
        .def_readonly("least_work", &Plan::least_work)
        .def_readonly("rounded", &Plan::rounded)
        .def_readonly("runners_up", &Plan::runners_up)
        .def_readonly("least_work_proven", &Plan::least_work_proven)
        .def_readonly("held", &Plan::held)
        .def_readonly("model_share", &Plan::model_share)
        .def_readonly("linear", &Plan::linear)
        .def_readonly("notes", &Plan::notes);
    module.def("plan", &plan, py::arg("car"), py::arg("measured"), py::arg("targets"), py::arg("options"),
               py::arg("doubts"), py::call_guard<py::gil_scoped_release>(),
               "The best reachable turns and shims of the whole car. Raises OutOfReach and InputError.");
    module.def("doubts_of", [](const Plan& plan) { return plan.doubts; }, py::arg("plan"));
    module.def(
        "unread", [](const Plan& plan) { return keys(plan.unread); }, py::arg("plan"),
        "Targets that nothing read answers.");
    module.def(
        "unpredicted", [](const Plan& plan) { return keys(plan.unpredicted); }, py::arg("plan"),
        "Targets that were read, of which the model says nothing as the car is held.");
    module.def(
        "meets_targets", [](const Plan& plan) { return meets_targets(plan); }, py::arg("plan"),
        "Whether a plan was found that brings every target in that is judged.");
    module.def(
        "judged", [](const Plan& plan) { return judged(plan); }, py::arg("plan"), "How many targets a verdict covers.");
    module.def("car_after", &car_after, py::arg("car"), py::arg("plan"), py::arg("which"));
    module.def("settings_after", &settings_after, py::arg("car"), py::arg("plan"), py::arg("which"));
}

void bind_chance(py::module_& module) {
    const auto all = [](const BoxProbability& nothing, const BoxProbability& closest,
                        const std::optional<BoxProbability>& least_work) {
        return Chances{nothing, closest, least_work};
    };
    value_class<Chances>(module, "Chances", "Chance to pass of every choice of a plan.")
        .def(py::init(all), py::arg("nothing"), py::arg("closest"), py::arg("least_work"))
        .def_readonly("nothing", &Chances::nothing)
        .def_readonly("closest", &Chances::closest)
        .def_readonly("least_work", &Chances::least_work);
    const py::call_guard<py::gil_scoped_release> release;
    module.def("chance", &chance, py::arg("next"), release, "That all targets that were read are met when read again.");
    module.def("default_choice", py::overload_cast<const Plan&, const Chances&>(&default_choice), py::arg("plan"),
               py::arg("chances"), "The choice a card is written for.");
    value_class<ReadAgain>(module, "ReadAgain",
                           "A reading that is worth taking once more, and the chance to pass then.")
        .def_property_readonly("key", [](const ReadAgain& of) { return key(of.id); })
        .def_readonly("chance", &ReadAgain::chance);
    module.def("worth_reading_again", &worth_reading_again, py::arg("plan"), py::arg("which"), release,
               "The reading that, taken once more and averaged, raises the chance most; None where nothing is read.");
}

}  // namespace

void bind_plan(py::module_& module) {
    bind_packs(module);
    bind_choice(module);
    bind_options(module);
    bind_whole_plan(module);
    bind_chance(module);
}

}  // namespace shimwise
