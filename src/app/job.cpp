// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job.h"

namespace paleproof::app {

namespace {
constexpr double gray_budget = 0.12;
constexpr double line_budget = 0.06;

double default_budget(Style style) {
    switch (style) {
        case Style::color:
            return 1.0;
        case Style::gray:
            return gray_budget;
        case Style::line:
            return line_budget;
    }
    return 1.0;
}

}  // namespace

double effective_ink_budget(const Job& job) {
    return job.ink_budget.value_or(default_budget(job.style));
}

const char* name(Style style) {
    switch (style) {
        case Style::color:
            return "color";
        case Style::gray:
            return "gray";
        case Style::line:
            return "line";
    }
    return "";
}

}  // namespace paleproof::app
