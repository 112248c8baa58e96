#include <pybind11/eigen.h>
#include <pybind11/stl.h>

#include "bindings.hpp"
#include "shimwise/workshop/choose/car_recipe.hpp"
#include "value_class.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

void bind_corner_recipes(py::module_& module) {
    value_class<RecipePart>(module, "RecipePart", "One adjuster of a recipe: the exact amount, and what can be set.")
        .def_readonly("key", &RecipePart::key)
        .def_readonly("amount_mm", &RecipePart::amount_mm)
        .def_readonly("turns", &RecipePart::turns)
        .def_readonly("words", &RecipePart::words)
        .def_readonly("minutes", &RecipePart::minutes)
        .def_readonly("nearest_mm", &RecipePart::nearest_mm)
        .def_readonly("nearest_shims", &RecipePart::nearest_shims)
        .def_readonly("nearest_words", &RecipePart::nearest_words)
        .def_readonly("not_made", &RecipePart::not_made);
    value_class<Recipe>(module, "Recipe", "What moves one output alone.")
        .def_readonly("output", &Recipe::output)
        .def_readonly("by", &Recipe::by)
        .def_readonly("kept", &Recipe::kept)
        .def_readonly("parts", &Recipe::parts)
        .def_readonly("change", &Recipe::change)
        .def_readonly("nearest_change", &Recipe::nearest_change)
        .def_readonly("minutes", &Recipe::minutes)
        .def_readonly("nearest_minutes", &Recipe::nearest_minutes)
        .def_readonly("limits", &Recipe::limits)
        .def_readonly("reach", &Recipe::reach)
        .def_readonly("refusal", &Recipe::refusal)
        .def_property_readonly("inside", &Recipe::inside);
    value_class<Recipes>(module, "Recipes", "A corner's outputs, each moved alone, the spring's length held.")
        .def_readonly("corner", &Recipes::corner)
        .def_readonly("spring_length_mm", &Recipes::spring_length_mm)
        .def_readonly("now", &Recipes::now)
        .def_readonly("recipes", &Recipes::recipes);
    module.def("recipe_change", &recipe_change, py::arg("corner"), py::arg("output"), py::arg("words"),
               "By how much a recipe's output is to change; toe also in mm at the flags. Raises InputError.");
    module.def("recipes", &recipes, py::arg("car"), py::arg("corner"), py::arg("by"),
               "Recipes of a corner, chassis frame. Raises InputError and OutOfReach.");
}

void bind_car_recipe(py::module_& module) {
    value_class<CarAim>(module, "CarAim", "A value of the car at rest that is to change, and by how much.")
        .def(py::init([](std::string what, double by) { return CarAim{std::move(what), by}; }), py::arg("what"),
             py::arg("by"))
        .def_readonly("at_flags_mm", &CarAim::at_flags_mm)
        .def_readonly("what", &CarAim::what)
        .def_readonly("by", &CarAim::by);
    value_class<CarRecipeAsk>(module, "CarRecipeAsk", "What is to change, what is kept, what may turn.")
        .def(py::init([](std::vector<CarAim> aims, std::optional<std::vector<std::string>> keep,
                         std::vector<std::string> turn) {
                 return CarRecipeAsk{std::move(aims), std::move(keep), std::move(turn)};
             }),
             py::arg("aims"), py::arg("keep") = py::none(), py::arg("turn") = std::vector<std::string>{})
        .def_readonly("aims", &CarRecipeAsk::aims)
        .def_readonly("keep", &CarRecipeAsk::keep)
        .def_readonly("turn", &CarRecipeAsk::turn);
    value_class<CarRecipeValue>(module, "CarRecipeValue", "What a recipe of the whole car aims at or keeps.")
        .def_property_readonly("name", [](const CarRecipeValue& v) { return key(v.id); })
        .def_property_readonly("unit", [](const CarRecipeValue& v) { return info(v.id).unit; })
        .def_property_readonly("sign", [](const CarRecipeValue& v) { return info(v.id).sign; })
        .def_readonly("aim", &CarRecipeValue::aim)
        .def_readonly("by", &CarRecipeValue::by)
        .def_readonly("at_flags_mm", &CarRecipeValue::at_flags_mm)
        .def_readonly("tolerance", &CarRecipeValue::tolerance)
        .def_readonly("now", &CarRecipeValue::now)
        .def_readonly("change", &CarRecipeValue::change)
        .def_readonly("nearest_change", &CarRecipeValue::nearest_change);
    value_class<CarRecipe>(module, "CarRecipe", "The turns that change some values of the car at rest and keep others.")
        .def_readonly("values", &CarRecipe::values)
        .def_readonly("parts", &CarRecipe::parts)
        .def_readonly("outputs", &CarRecipe::outputs)
        .def_readonly("now", &CarRecipe::now)
        .def_readonly("change", &CarRecipe::change)
        .def_readonly("nearest_change", &CarRecipe::nearest_change)
        .def_readonly("minutes", &CarRecipe::minutes)
        .def_readonly("nearest_minutes", &CarRecipe::nearest_minutes)
        .def_readonly("nearest_within", &CarRecipe::nearest_within)
        .def_readonly("limits", &CarRecipe::limits)
        .def_readonly("reach", &CarRecipe::reach)
        .def_readonly("refusal", &CarRecipe::refusal)
        .def_readonly("notes", &CarRecipe::notes)
        .def_property_readonly("inside", &CarRecipe::inside);
    module.def("car_aim", &car_aim, py::arg("model"), py::arg("what"), py::arg("words"),
               "An aim in words, in the value's own unit; toe also in mm at the flags. Raises InputError.");
    module.def("car_recipe_names", &car_recipe_names, py::arg("model"),
               "What a recipe of this car may aim at or keep.");
    module.def("car_recipe", &car_recipe, py::arg("model"), py::arg("ask"), py::arg("pads_mm"),
               "A recipe of the whole car at rest. Raises InputError and OutOfReach.");
}

}  // namespace

void bind_recipes(py::module_& module) {
    bind_corner_recipes(module);
    bind_car_recipe(module);
}

}  // namespace shimwise
