// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job.h"

namespace paleproof::app {

namespace {
constexpr double gray_budget = 0.12;
constexpr double tint_budget = 0.30;  // over all inks
constexpr double line_budget = 0.06;
constexpr double hatch_budget = 0.09;

double default_budget(Style style) {
    switch (style) {
        case Style::color:
            return 1.0;
        case Style::gray:
            return gray_budget;
        case Style::tint:
            return tint_budget;
        case Style::line:
            return line_budget;
        case Style::hatch:
            return hatch_budget;
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
        case Style::tint:
            return "tint";
        case Style::line:
            return "line";
        case Style::hatch:
            return "hatch";
    }
    return "";
}

}  // namespace paleproof::app
