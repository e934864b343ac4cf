#include "page/html.h"

#include "base/markup.h"
#include "page/svg.h"
#include "report/words.h"

namespace drydepth {
namespace {

constexpr std::string_view kStyle = R"(
:root{color-scheme:light dark;--ink:#1c1c1c;--ground:#fff;--line:#8a8a8a}
@media screen and (prefers-color-scheme:dark){
:root{--ink:#e9e9e9;--ground:#16181b;--line:#777}}
@page{margin:8mm}
*{box-sizing:border-box}
body{margin:0 auto;padding:10px 12px;max-width:880px;color:var(--ink);
background:var(--ground);font:13px/1.3 sans-serif;overflow-wrap:anywhere}
h1{font-size:1.6em;line-height:1.2;margin:0 0 2px}
h2{font-size:1.15em;margin:.6em 0 .15em;border-bottom:1px solid var(--line)}
p{margin:2px 0}
.verdict{display:grid;grid-template-columns:auto 1fr;gap:2px 14px;align-items:center;
border:2px solid var(--ink);padding:5px 10px;margin:5px 0}
.verdict h2{font-size:1.9em;line-height:1.15;margin:0;border:0;overflow-wrap:normal}
.verdict div:first-child p{font-weight:bold}
table{border-collapse:collapse;width:100%;margin:2px 0 5px}
caption{max-width:calc(100vw - 24px);text-align:left;font-weight:bold;padding:1px 0}
th,td{text-align:left;vertical-align:top;padding:1px 8px 1px 0;overflow-wrap:normal;
border-bottom:1px solid color-mix(in srgb,var(--line) 45%,transparent)}
th:last-child,td:last-child{padding-right:0;overflow-wrap:anywhere}
thead th{vertical-align:bottom;border-bottom-color:var(--line)}
tbody th{font-weight:normal}
tr{break-inside:avoid}
.scroll{overflow-x:auto}
.facts th{white-space:nowrap}
.feeds td,.feeds tbody th{white-space:nowrap}
.feeds td:nth-child(2){white-space:normal}
.tools td{white-space:nowrap}
.tools td:nth-child(2){white-space:normal;overflow-wrap:anywhere;min-width:6em}
.tools td:nth-child(3){white-space:normal}
.edits td:last-child{width:99%}
ul{margin:1px 0;padding-left:1.3em}
li{margin:0}
figure{margin:4px 0;break-inside:avoid;overflow-x:auto}
figure svg{display:block;width:100%;height:auto}
figcaption{font-size:.95em}
.pair{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:0 18px;
align-items:start}
.sign{display:grid;grid-template-columns:2fr 1fr 2fr;gap:14px;margin-top:2.6em;
break-inside:avoid}
.sign span{border-top:1px solid var(--ink);padding-top:1px}
footer{margin-top:5px;font-size:.9em}
@media screen and (max-width:640px){
.pair,.verdict,.sign{grid-template-columns:minmax(0,1fr)}
.sign{gap:2.4em}
figure svg{min-width:300px}.race svg{min-width:560px}}
@media print{body{padding:0;max-width:none;font-size:9.8px;line-height:1.24}
.many{font-size:9.3px}
h1{font-size:1.6em}.sign{margin-top:2.1em}footer{margin-top:3px}table{margin:1px 0 3px}h2{margin-top:.4em}.scroll,figure{overflow:visible}}
)";

std::string json_pointer(const HtmlCell& cell) {
  return cell.json.empty() ? "" : " data-json=\"" + xml_escaped(cell.json) + "\"";
}

}  // namespace

std::string html_table(std::string_view caption, const std::vector<std::string>& header,
                       const std::vector<std::vector<HtmlCell>>& rows) {
  std::string out = "<div class=\"scroll\">\n<table>\n" +
                    html_sentence("caption", caption) + "<thead><tr>\n";
  for (const std::string& cell : header) out += html_sentence("th scope=\"col\"", cell);
  out += "</tr></thead>\n<tbody>\n";
  for (const auto& row : rows) {
    out += "<tr>";
    for (std::size_t k = 0; k < row.size(); ++k) {
      const std::string element = k == 0 ? "th scope=\"row\"" : "td";
      out += html_sentence(element + json_pointer(row[k]), row[k].text);
    }
    out += "</tr>\n";
  }
  return out + "</tbody></table>\n</div>\n";
}

std::string html_facts(std::string_view caption, const std::vector<HtmlFact>& facts) {
  std::string out =
      "<table class=\"facts\">\n" + html_sentence("caption", caption) + "<tbody>\n";
  for (const HtmlFact& fact : facts) {
    out += "<tr>" + html_text("th scope=\"row\"", fact.name) +
           html_sentence("td" + json_pointer(fact.value), fact.value.text) + "</tr>\n";
  }
  return out + "</tbody></table>\n";
}

std::string html_figure(std::string_view svg, std::string_view caption) {
  return "<figure>\n" + std::string(svg) + html_sentence("figcaption", caption) +
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
