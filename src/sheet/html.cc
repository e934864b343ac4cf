#include "sheet/html.h"

#include "sheet/svg.h"

namespace drydepth {
namespace {

constexpr std::string_view kStyle = R"(
:root{color-scheme:light dark;--ink:#1c1c1c;--ground:#fff;--line:#8a8a8a}
@media screen and (prefers-color-scheme:dark){
:root{--ink:#e9e9e9;--ground:#16181b;--line:#777}}
@page{margin:8mm}
*{box-sizing:border-box}
body{margin:0 auto;padding:6px;max-width:720px;color:var(--ink);
background:var(--ground);font:11px/1.25 sans-serif}
h1{font-size:17px;margin:0 0 2px;overflow-wrap:anywhere}
h2{font-size:12.5px;margin:7px 0 2px;border-bottom:1px solid var(--line)}
p{margin:2px 0;overflow-wrap:anywhere}
.verdict{border:2px solid var(--ink);padding:4px 7px;margin:4px 0;font-size:12.5px}
table{border-collapse:collapse;width:100%;margin:2px 0}
caption{text-align:left;font-weight:bold;padding:1px 0}
th,td{text-align:left;vertical-align:top;padding:1px 5px 1px 0;
border-bottom:1px solid color-mix(in srgb,var(--line) 45%,transparent)}
td:last-child{overflow-wrap:anywhere}
.feeds td{white-space:nowrap}
.feeds td:nth-child(2){white-space:normal}
tbody th{font-weight:normal;white-space:nowrap}
ul{margin:1px 0;padding-left:14px}
li{margin:0;overflow-wrap:anywhere}
figure{margin:3px 0;break-inside:avoid}
figure svg{display:block;max-width:100%;height:auto}
figcaption{font-size:10.5px}
.pair{display:grid;grid-template-columns:1fr 1fr;gap:0 14px;align-items:start}
.sign{display:grid;grid-template-columns:2fr 1fr 2fr;gap:14px;margin-top:18px}
.sign span{border-top:1px solid var(--ink);padding-top:1px}
footer{margin-top:4px;font-size:10px}
@media screen and (max-width:600px){.pair{grid-template-columns:1fr}}
@media print{body{padding:0;max-width:none;font-size:9.8px}
figcaption,footer{font-size:9.4px}}
)";

}  // namespace

std::string html_text(std::string_view element, std::string_view text) {
  const std::string name(element);
  const std::string closing = name.substr(0, name.find(' '));
  return "<" + name + ">" + xml_escaped(text) + "</" + closing + ">\n";
}

std::string html_list(const std::vector<std::string>& items) {
  std::string out = "<ul>\n";
  for (const std::string& item : items) out += html_text("li", item);
  return out + "</ul>\n";
}

std::string html_table(std::string_view caption, const std::vector<std::string>& header,
                       const std::vector<std::vector<std::string>>& rows) {
  std::string out = "<table>\n" + html_text("caption", caption) + "<thead><tr>\n";
  for (const std::string& cell : header) out += html_text("th scope=\"col\"", cell);
  out += "</tr></thead>\n<tbody>\n";
  for (const auto& row : rows) {
    out += "<tr>";
    for (std::size_t k = 0; k < row.size(); ++k) {
      out += html_text(k == 0 ? "th scope=\"row\"" : "td", row[k]);
    }
    out += "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

std::string html_facts(std::string_view caption, const std::vector<HtmlFact>& facts) {
  std::string out = "<table>\n" + html_text("caption", caption) + "<tbody>\n";
  for (const HtmlFact& fact : facts) {
    out += "<tr>" + html_text("th scope=\"row\"", fact.name) +
           html_text("td", fact.value) + "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

std::string html_figure(std::string_view svg, std::string_view caption) {
  return "<figure>\n" + std::string(svg) + html_text("figcaption", caption) +
         "</figure>\n";
}

std::string html_page(std::string_view title, std::string_view body) {
  return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
         "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
         "style-src 'unsafe-inline'\">\n"
         "<meta name=\"viewport\" content=\"width=device-width\">\n" +
         html_text("title", title) + "<style>" + std::string(kStyle) +
         "</style>\n</head>\n<body>\n" + std::string(body) + "</body>\n</html>\n";
}

}  // namespace drydepth
