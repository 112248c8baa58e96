// The program `shimwise`. Python takes 20 ms to start, and answers Ctrl-C in them with a traceback: from here on the
// signal waits, until shimwise_command has its handler and lets it through.
#include <unistd.h>
#include <climits>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace {

char run_command[] = "from shimwise_command import main; main()";
char no_present_folder[] = "-P";  // no module of the folder that it is called in
char command_follows[] = "-c";

/// The Python of the folder that this program lies in, as of a virtual environment; its name alone otherwise.
void find_python(char (&python)[PATH_MAX]) {
    const ssize_t length = readlink("/proc/self/exe", python, PATH_MAX - 1);
    python[length > 0 ? length : 0] = '\0';
    char* const slash = std::strrchr(python, '/');
    char* const name = slash ? slash + 1 : python;
    const auto room = static_cast<std::size_t>(python + PATH_MAX - name);
    std::snprintf(name, room, "python3");
    if (access(python, X_OK) != 0) std::snprintf(python, PATH_MAX, "python3");
}

}  // namespace

int main(int count, char** words) {
    sigset_t interrupt;
    sigemptyset(&interrupt);
    sigaddset(&interrupt, SIGINT);
    sigprocmask(SIG_BLOCK, &interrupt, nullptr);

    char python[PATH_MAX];
    find_python(python);
    char** const command = static_cast<char**>(std::calloc(static_cast<std::size_t>(count) + 4, sizeof(char*)));
    if (!command) return 127;
    char* const first[] = {python, no_present_folder, command_follows, run_command};
    for (int i = 0; i < 4; ++i) command[i] = first[i];
    for (int i = 1; i < count; ++i) command[3 + i] = words[i];
    execvp(python, command);
    std::perror(python);
    return 127;
}
