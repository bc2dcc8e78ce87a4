#include "tests/cli/program.h"

#include <gtest/gtest.h>

#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <fstream>
#include <iterator>

namespace halfcell::test {

Folder::Folder()
{
    std::string name = (std::filesystem::temp_directory_path() / "halfcell-test-XXXXXX").string();
    m_path = ::mkdtemp(name.data());
}

Folder::~Folder()
{
    std::error_code ec;
    std::filesystem::remove_all(m_path, ec);
}

std::string contentOf(const std::filesystem::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(in), {});
}

void writeFile(const std::filesystem::path& file, const std::string& text)
{
    std::ofstream out(file, std::ios::binary | std::ios::trunc);
    out << text;
}

Ran run(const std::vector<std::string>& args, const std::string& input)
{
    const Folder folder;
    const std::string in = folder / "in";
    const std::string out = folder / "out";
    const std::string err = folder / "err";
    writeFile(in, input);
    std::vector<std::string> owned{HALFCELL_CLI};
    owned.insert(owned.end(), args.begin(), args.end());
    std::vector<char*> argv;
    for (std::string& a : owned)
        argv.push_back(a.data());
    argv.push_back(nullptr);
    const pid_t child = ::fork();
    if (child == 0) {
        const int fdIn = ::open(in.c_str(), O_RDONLY);
        const int fdOut = ::open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        const int fdErr = ::open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        ::dup2(fdIn, 0);
        ::dup2(fdOut, 1);
        ::dup2(fdErr, 2);
        ::execv(argv[0], argv.data());
        ::_exit(127);
    }
    int status = 0;
    ::waitpid(child, &status, 0);
    Ran ran;
    ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    ran.out = contentOf(out);
    ran.err = contentOf(err);
    return ran;
}

const std::string& demoBook()
{
    static const Folder folder;
    static const std::string book = [] {
        std::string file = folder / "demo.halfcell";
        const Ran made = run({"demo", "--book", file, "--until", "2026-03-02", "--quiet"});
        EXPECT_EQ(made.code, 0) << made.err;
        return file;
    }();
    return book;
}

}  // namespace halfcell::test
