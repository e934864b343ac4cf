#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace drydepth {

/// A terminal of 80 columns: a heading on the left, sentences beside it, tables below.
constexpr std::size_t kColumns = 80;
constexpr std::size_t kIndent = 9;

using Row = std::vector<std::string>;

/// A heading in the first column, sentences beside it, wrapped.
void section(std::string& out, std::string_view heading,
             const std::vector<std::string>& sentences);

/// Columns as wide as their widest cell; all but the first `left` to the right.
void table(std::string& out, std::vector<Row> rows, std::size_t left);

}  // namespace drydepth
