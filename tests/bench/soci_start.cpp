// The floor of start_bench: a process that links SOCI and its SQLite back end, and returns.
#include <soci/soci.h>
#include <soci/sqlite3/soci-sqlite3.h>

int main(int argc, char**)
{
    // Never true: it keeps the libraries linked.
    if (argc > 1000)
        soci::session session(*soci::factory_sqlite3(), ":memory:");
    return 0;
}
