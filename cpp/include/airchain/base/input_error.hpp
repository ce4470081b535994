#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace airchain::base {

/// A place inside what was refused, such as speed line 3; counted from 1.
struct Index {
  std::string name;
  int number = 0;
};

/// One thing that was refused, in parts.
struct Refusal {
  std::string where = {};  ///< the station, or file and line
  std::string field = {};  ///< its name; empty where no single field is at fault
  std::string value = {};  ///< as it was given, with its unit
  std::string rule = {};   ///< what it must do or be, worded to follow 'must'
  std::string hint = {};   ///< what to do instead; may be empty
  std::vector<Index> indices = {};
  /// Told instead of place and `field = value` where these would say too little.
  std::string statement = {};

  /// `where: place: field = value; must rule; hint`, or `where: statement; must rule; hint`.
  std::string text() const;
};

/// Bad input: everything that was refused at once. Its message has a line for each.
class InputError : public std::invalid_argument {
 public:
  explicit InputError(std::vector<Refusal> refusals);

  const std::vector<Refusal>& refusals() const noexcept { return refusals_; }

 private:
  std::vector<Refusal> refusals_;
};

[[noreturn]] void refuse(Refusal refusal);

/// Shortest decimal text (up to six significant digits) of a number in a message.
std::string number_text(double value);
/// The same with its unit, which "1" is none.
std::string quantity_text(double value, std::string_view unit);

}  // namespace airchain::base
