// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// [run]: where an edition goes and how it is made. None of these is a property of the edition: they
// are not recorded in it.
#include <array>
#include <string>
#include <vector>

#include "app/option_values.h"
#include "app/options.h"

namespace paleproof::app {
namespace {

using Texts = std::vector<std::string>;

constexpr double most_threads = 1024;

constexpr std::array table{
    Option{"run", "out", "FOLDER", "folder of the edition (default: SOURCE-edition)", false,
           [](Job& job, const Texts& t) { job.out = t.front(); },
           [](const Job& job) {
               return job.out.empty() ? std::string() : in_quotes(job.out.generic_string());
           }},
    Option{"run", "changed_since", "EDITION",
           "folder or edition.json of an earlier edition: also sheets of the cards alone that "
           "changed since",
           false, [](Job& job, const Texts& t) { job.changed_since = t.front(); },
           [](const Job& job) {
               return job.changed_since.empty() ? std::string()
                                                : in_quotes(job.changed_since.generic_string());
           }},
    Option{"run", "threads", "COUNT", "threads to use; 0 = one per core", false,
           [](Job& job, const Texts& t) {
               const double count = number(t.front(), "threads", 0, most_threads, "threads");
               job.threads = static_cast<unsigned>(count);
               if (job.threads != count) refuse("threads", "a whole number", t.front());
           },
           [](const Job& job) { return std::to_string(job.threads); }},
};

}  // namespace

std::span<const Option> run_options() { return table; }

}  // namespace paleproof::app
