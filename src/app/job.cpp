// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job.h"

namespace paleproof::app {

namespace {
constexpr double gray_budget = 0.12;
}

double effective_ink_budget(const Job& job) {
    return job.ink_budget.value_or(job.style == Style::gray ? gray_budget : 1.0);
}

const char* name(Style style) { return style == Style::color ? "color" : "gray"; }

}  // namespace paleproof::app
