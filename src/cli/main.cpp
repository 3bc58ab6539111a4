// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <chrono>
#include <condition_variable>
#include <csignal>
#include <exception>
#include <iostream>
#include <mutex>
#include <system_error>
#include <thread>

#include "cli/commands.h"
#include "cli/refusal.h"
#include "cli/terminal.h"
#include "core/error.h"
#include "core/utf8.h"

using namespace paleproof;

namespace {

volatile std::sig_atomic_t interrupted = 0;

/// Runs the action while a watcher passes SIGINT and SIGTERM on as a stop request.
app::ExitStatus run(const cli::Action& action, bool quiet) {
    std::signal(SIGINT, [](int) { interrupted = 1; });
    std::signal(SIGTERM, [](int) { interrupted = 1; });
    std::signal(SIGHUP, [](int) { interrupted = 1; });  // the terminal was closed
    // A full disk or quota and a reader that went away are told by the write, not by a signal.
    std::signal(SIGXFSZ, SIG_IGN);
    std::signal(SIGPIPE, SIG_IGN);
    std::stop_source stop;
    std::jthread watcher([&stop](const std::stop_token& over) {
        // A signal handler may wake nobody, so it is looked at; the end of the action wakes it.
        std::mutex guard;
        std::condition_variable_any nap;
        std::unique_lock lock(guard);
        while (!over.stop_requested()) {
            if (interrupted != 0) stop.request_stop();
            nap.wait_for(lock, over, std::chrono::milliseconds(20), [] { return false; });
        }
    });
    cli::ProgressLine line(quiet);
    return action({line.reporter(), stop.get_token()});
}

}  // namespace

int main(int argc, char** argv) {
    CLI::App program("Low-ink, proven-legible editions of card faces.", "paleproof");
    program.set_version_flag("--version", std::string("paleproof ") + PALEPROOF_VERSION);
    program.require_subcommand(1);
    program.fallthrough();
    bool quiet = false;
    program.add_flag("-q,--quiet", quiet, "no progress on standard error");
    cli::Action action;
    cli::add_make(program, action);
    cli::add_watch(program, action);
    cli::add_check(program, action);
    cli::add_sheets(program, action);
    cli::add_job(program, action);
    cli::add_explain(program, action);
    cli::add_reference(program, action);
    program.footer(cli::examples_of(""));
    app::ExitStatus status = app::ExitStatus::not_done;
    try {
        program.parse(argc, argv);
        status = run(action, quiet);
    } catch (const CLI::ParseError& fault) {
        if (fault.get_exit_code() == 0) return program.exit(fault);  // --help, --version
        std::cerr << "paleproof: " << one_line(cli::refusal(program, fault)) << "\n";
    } catch (const app::Interrupted&) {
        std::cerr << "paleproof: interrupted; nothing was changed\n";
        status = app::ExitStatus::interrupted;
    } catch (const std::bad_alloc&) {
        std::cerr
            << "paleproof: memory is used up; close other programs or set max_megapixels lower\n";
    } catch (const std::system_error& fault) {
        const bool short_of = fault.code() == std::errc::resource_unavailable_try_again ||
                              fault.code() == std::errc::not_enough_memory;
        std::cerr << "paleproof: "
                  << (short_of ? "memory or threads are used up; close other programs or ask for "
                                 "fewer --threads"
                               : fault.what())
                  << "\n";
    } catch (const std::exception& fault) {
        std::cerr << "paleproof: " << fault.what() << "\n";
    }
    return static_cast<int>(status);
}
