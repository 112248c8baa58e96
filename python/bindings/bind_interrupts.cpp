// Ctrl-C at the command line. Nothing calls it when shimwise is imported: scripts and notebooks keep KeyboardInterrupt.
#include <unistd.h>
#include <csignal>
#include <string>
#include <utility>

#include "bindings.hpp"

namespace py = pybind11;

namespace shimwise {
namespace {

volatile std::sig_atomic_t exit_code = 0;

extern "C" void end_now(int) { _exit(exit_code); }

void stop_at_interrupt(int code) {
    exit_code = code;
    sigset_t interrupt, before;
    sigemptyset(&interrupt);
    sigaddset(&interrupt, SIGINT);
    pthread_sigmask(SIG_BLOCK, &interrupt, &before);
    // At its end Python would take its own handler away again, and ours with it: it must think that there is none.
    const py::module_ signals = py::module_::import("_signal");
    signals.attr("signal")(SIGINT, signals.attr("SIG_IGN"));
    struct sigaction action{};
    action.sa_handler = &end_now;
    sigemptyset(&action.sa_mask);
    sigaction(SIGINT, &action, nullptr);
    pthread_sigmask(SIG_SETMASK, &before, nullptr);
}

std::string said_when_slow;

extern "C" void say(int) {
    if (write(STDERR_FILENO, said_when_slow.data(), said_when_slow.size()) < 0) return;  // nobody to tell
}

void say_when_slow(std::string text, int seconds) {
    said_when_slow = std::move(text);
    struct sigaction action{};
    action.sa_handler = &say;
    action.sa_flags = SA_RESTART;  // whatever it waits for, it goes on waiting
    sigemptyset(&action.sa_mask);
    sigaction(SIGALRM, &action, nullptr);
    alarm(static_cast<unsigned>(seconds));
}

}  // namespace

void bind_interrupts(py::module_& module) {
    module.def("stop_at_interrupt", &stop_at_interrupt, py::arg("code"),
               "From now on SIGINT ends this process at once with this exit code, compiled code or not.");
    module.def("say_when_slow", &say_when_slow, py::arg("text"), py::arg("seconds"),
               "Writes a text to stderr once this process has taken so long, compiled code or not.");
}

}  // namespace shimwise
