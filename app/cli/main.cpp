#include "app/cli/verbs.h"

#include <unistd.h>

#include <chrono>
#include <iostream>

int main(int argc, char** argv)
{
    std::ios::sync_with_stdio(false);
    const auto now = std::chrono::duration_cast<std::chrono::seconds>(std::chrono::system_clock::now().time_since_epoch()).count();
    halfcell::app::Context context(std::cout, std::cerr, halfcell::core::Instant{now, 0});
    context.errTerminal = ::isatty(STDERR_FILENO) == 1;
    context.outTerminal = ::isatty(STDOUT_FILENO) == 1;
    std::vector<std::string> args(argv + 1, argv + argc);
    const int code = halfcell::app::runCommandLine(std::move(args), std::move(context));
    std::cout.flush();
    return std::cout ? code : halfcell::app::kBookUnusable;
}
