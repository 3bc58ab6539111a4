// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

namespace paleproof::app {

/// How a run ends; a table in docs/cli.md says the same. Not 1, which shells use themselves.
enum class ExitStatus {
    done = 0,
    not_done = 2,      ///< usage, input or internal error, or some face could not be read
    findings = 3,      ///< done, with findings of severity error
    interrupted = 130  ///< stopped by SIGINT; the edition that was there is whole
};

}  // namespace paleproof::app
