#pragma once

// How a command declares its words and options. The package that reads them stays
// behind it: its header takes seconds to compile, and 20 files would include it.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace CLI {
class App;
class Option;
}  // namespace CLI

namespace drydepth {

enum class Measure { kMillimetres, kGrams, kPercent, kCelsius };

/// One option, or a word by its place, being declared.
class Option {
 public:
  explicit Option(CLI::Option* option) : option_(option) {}

  Option envname(const std::string& variable);
  Option type_name(const std::string& name);
  Option required();
  /// What help shows to stand where it is not given: the value as it is, or these
  /// words.
  Option capture_default_str();
  Option default_str(const std::string& words);
  /// May be given again, one value each time.
  Option repeated();
  Option delimiter(char between_values);
  Option between(std::size_t least, std::size_t most);
  Option hidden();
  /// Lets a number take a unit as well: 55, 55mm, 5.5cm; 1000, 1000g, 1kg; 2.8, 2.8%;
  /// 23, 23C, 73F. Without one it is the measure's own.
  Option measure(Measure measure);

 private:
  CLI::Option* option_;
};

/// A command being declared. A value must outlive the parsing.
class Command {
 public:
  explicit Command(CLI::App& parser) : parser_(&parser) {}

  Option add_option(const std::string& names, std::string& value,
                    const std::string& help);
  Option add_option(const std::string& names, std::vector<std::string>& value,
                    const std::string& help);
  Option add_option(const std::string& names, std::size_t& value,
                    const std::string& help);
  Option add_option(const std::string& names, unsigned& value, const std::string& help);
  Option add_option(const std::string& names, double& value, const std::string& help);
  Option add_option(const std::string& names, std::vector<double>& value,
                    const std::string& help);
  Option add_option(const std::string& names, std::optional<int>& value,
                    const std::string& help);
  Option add_option(const std::string& names, std::optional<std::size_t>& value,
                    const std::string& help);
  Option add_option(const std::string& names, std::optional<double>& value,
                    const std::string& help);
  Option add_flag(const std::string& names, bool& value, const std::string& help);

  CLI::App& parser() const { return *parser_; }

 private:
  CLI::App* parser_;
};

}  // namespace drydepth
