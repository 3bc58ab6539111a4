// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <stdexcept>
#include <string>

namespace paleproof {

/// What kind of fault an Error reports; decides the exit status and nothing else.
enum class ErrorKind {
    usage,        ///< options or commands that do not fit together
    range,        ///< a value outside its limits
    file,         ///< a file or folder that cannot be opened, read or written
    format,       ///< content that is not what its kind of file promises
    unsupported,  ///< valid content that this version does not handle
    internal      ///< our own mistake
};

/// The one exception type. Whoever finds the fault words it: what was expected, what was found,
/// what to do. what() is "subject: detail", one line.
class Error : public std::runtime_error {
  public:
    Error(ErrorKind kind, std::string subject, std::string detail);

    [[nodiscard]] ErrorKind kind() const noexcept { return kind_; }
    /// The file, key, option or face that is at fault.
    [[nodiscard]] const std::string& subject() const noexcept { return subject_; }
    [[nodiscard]] const std::string& detail() const noexcept { return detail_; }

  private:
    ErrorKind kind_;
    std::string subject_;
    std::string detail_;
};

}  // namespace paleproof
