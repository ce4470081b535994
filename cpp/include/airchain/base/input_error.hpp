#pragma once

#include <stdexcept>
#include <string>

namespace airchain::base {

/// Bad input, told as `Where: field = value unit; must be rule; hint`.
class InputError : public std::invalid_argument {
 public:
  using std::invalid_argument::invalid_argument;
};

/// Shortest decimal text (up to six significant digits) of a number in a message.
std::string number_text(double value);

}  // namespace airchain::base
