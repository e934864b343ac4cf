#include "cli/help/completion.h"

#include <array>

namespace drydepth {
namespace {

constexpr std::string_view kBash =
    R"(# Completion of drydepth for bash. Written by: drydepth help --completion bash
_drydepth() {
  local current=${COMP_WORDS[COMP_CWORD]} word help before
  local -a words=()
  COMPREPLY=()
  # bash takes T0=K-07 for three words, and wants only what stands behind the "=".
  for word in "${COMP_WORDS[@]:1:COMP_CWORD}"; do
    if (( ${#words[@]} )) && [[ $word == = || ${words[-1]} == *= ]]; then
      words[-1]+=$word
    else
      words+=("$word")
    fi
  done
  [[ $current == = ]] && current=
  before=${words[-1]%"$current"}
  [[ $before == T*= ]] || before=
  while IFS=$'\t' read -r word help; do
    case $word in
      :files)
        compopt -o filenames
        while IFS= read -r word; do COMPREPLY+=("$word"); done < <(compgen -f -- "$current")
        ;;
      :folders)
        compopt -o filenames
        while IFS= read -r word; do COMPREPLY+=("$word"); done < <(compgen -d -- "$current")
        ;;
      *) COMPREPLY+=("${word#"$before"}") ;;
    esac
  done < <("$1" help --candidates -- "${words[@]}" 2> /dev/null)
}
complete -F _drydepth drydepth
)";

constexpr std::string_view kZsh = R"(#compdef drydepth
# Completion of drydepth for zsh. Written by: drydepth help --completion zsh
_drydepth() {
  local line word help
  local -a offered
  for line in "${(@f)$("$words[1]" help --candidates -- "${(@)words[2,CURRENT]}" 2> /dev/null)}"; do
    word=${line%%$'\t'*} help=${line#*$'\t'}
    case $word in
      '') ;;
      :files) _files ;;
      :folders) _files -/ ;;
      *) offered+=("${word//:/\\:}${help:+:$help}") ;;
    esac
  done
  (( $#offered )) && _describe -V drydepth offered
}
if [[ $zsh_eval_context[-1] == loadautofunc ]]; then
  _drydepth "$@"
else
  compdef _drydepth drydepth
fi
)";

constexpr std::string_view kFish =
    R"(# Completion of drydepth for fish. Written by: drydepth help --completion fish
function __drydepth_candidates
    set -l typed (commandline -opc)
    set -l current (commandline -ct)
    test -z "$current"; and set current ''
    for line in (drydepth help --candidates -- $typed[2..-1] $current 2>/dev/null)
        switch $line
            case ':files*'
                __fish_complete_path $current
            case ':folders*'
                __fish_complete_directories $current
            case '*'
                echo $line
        end
    end
end
complete -c drydepth -f -a '(__drydepth_candidates)'
)";

constexpr std::array<Completion, 3> kAll = {
    {{"bash", "bash-completion/completions/drydepth", kBash},
     {"zsh", "zsh/site-functions/_drydepth", kZsh},
     {"fish", "fish/vendor_completions.d/drydepth.fish", kFish}}};

}  // namespace

std::span<const Completion> completions() { return kAll; }

}  // namespace drydepth
