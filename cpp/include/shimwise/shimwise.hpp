// The table of contents, in walking order. One header includes all: a program that needs one stage includes that alone.
#pragma once

// clang-format off: the order is the walk's

#include "shimwise/error.hpp"
#include "shimwise/tolerances.hpp"
#include "shimwise/units.hpp"

// math: what a surveyor could use unchanged
#include "shimwise/math/vec3.hpp"
#include "shimwise/math/scalar.hpp"
#include "shimwise/math/dual.hpp"
#include "shimwise/math/taylor.hpp"
#include "shimwise/math/pack.hpp"
#include "shimwise/math/atan.hpp"
#include "shimwise/math/sine.hpp"
#include "shimwise/math/circle.hpp"
#include "shimwise/math/least_squares.hpp"
#include "shimwise/math/uncertainty.hpp"
#include "shimwise/math/integer_least_squares.hpp"

// files: values with their place, written aside and renamed
#include "shimwise/files/did_you_mean.hpp"
#include "shimwise/files/write.hpp"

// model: what is written on a drawing or a box; car file -> Car
#include "shimwise/model/names.hpp"
#include "shimwise/model/adjuster.hpp"
#include "shimwise/model/corner.hpp"
#include "shimwise/model/instruments.hpp"
#include "shimwise/model/car.hpp"
#include "shimwise/model/car_file.hpp"
#include "shimwise/model/check.hpp"
#include "shimwise/model/limits.hpp"
#include "shimwise/model/moved_points.hpp"

// motion: one corner; Corner -> Setup -> Parts -> Linkage -> Solved -> Outputs
#include "shimwise/motion/geometry.hpp"
#include "shimwise/motion/parts.hpp"
#include "shimwise/motion/setup.hpp"
#include "shimwise/motion/drawn_bodies.hpp"
#include "shimwise/motion/linkage.hpp"
#include "shimwise/motion/pose.hpp"
#include "shimwise/motion/strut.hpp"
#include "shimwise/motion/contact.hpp"
#include "shimwise/motion/null_motion.hpp"
#include "shimwise/motion/hold.hpp"
#include "shimwise/motion/position.hpp"
#include "shimwise/motion/outputs.hpp"
#include "shimwise/motion/rates.hpp"
#include "shimwise/motion/strut_load.hpp"
#include "shimwise/motion/curves.hpp"
#include "shimwise/motion/steering.hpp"
#include "shimwise/motion/starts.hpp"
#include "shimwise/motion/sweep.hpp"
#include "shimwise/motion/forces.hpp"
#include "shimwise/motion/statics.hpp"

// rest: the whole car; Car -> RestModel -> RestState
#include "shimwise/rest/riding.hpp"
#include "shimwise/rest/model.hpp"
#include "shimwise/rest/values.hpp"
#include "shimwise/rest/solve.hpp"
#include "shimwise/rest/rates.hpp"
#include "shimwise/rest/solid.hpp"
#include "shimwise/rest/forces.hpp"
#include "shimwise/rest/wheel_rates.hpp"

// workshop: choices and doubts; readings -> Measured; Car, Measured and Targets -> Plan -> Card
#include "shimwise/workshop/stack_choice.hpp"
#include "shimwise/workshop/words.hpp"
#include "shimwise/workshop/files/readings.hpp"
#include "shimwise/workshop/files/targets.hpp"
#include "shimwise/workshop/files/settings.hpp"
#include "shimwise/workshop/measure/ground.hpp"
#include "shimwise/workshop/measure/reduce.hpp"
#include "shimwise/workshop/measure/as_read.hpp"
#include "shimwise/workshop/measure/compare.hpp"
#include "shimwise/workshop/choose/stock.hpp"
#include "shimwise/workshop/choose/boxes.hpp"
#include "shimwise/workshop/choose/allowed.hpp"
#include "shimwise/workshop/choose/effect_table.hpp"
#include "shimwise/workshop/choose/tried.hpp"
#include "shimwise/workshop/choose/predict.hpp"
#include "shimwise/workshop/choose/expect.hpp"
#include "shimwise/workshop/choose/plan.hpp"
#include "shimwise/workshop/choose/recipes.hpp"
#include "shimwise/workshop/choose/car_recipe.hpp"
#include "shimwise/workshop/card.hpp"
// clang-format on
