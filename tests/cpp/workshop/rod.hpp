// An adjuster with a thread, made by hand.
#pragma once

#include "shimwise/model/adjuster.hpp"

namespace shimwise {

inline Adjuster rod(double lock_turns, Length length = Length::track_rod) {
    Adjuster adjuster;
    adjuster.changes = {{length, {1.0, 0.0, 0.0}}};
    Thread thread;
    thread.pitch_mm = 1.25;
    thread.lock_turns = lock_turns;
    thread.step_turns = 0.25;
    thread.now_turns = 0.5;
    adjuster.setting = thread;
    return adjuster;
}

}  // namespace shimwise
