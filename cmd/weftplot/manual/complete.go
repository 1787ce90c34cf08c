package manual

import (
	"slices"
	"strings"

	"weftplot/paths/fault"
)

// Candidates returns what the last of the words of a command line may become: words
// are those after the program's name, the last one as far as it is typed. No
// candidate means that a file may stand there.
func (p Program) Candidates(words []string) []string {
	if len(words) == 0 {
		words = []string{""}
	}
	typed, before := words[len(words)-1], words[:len(words)-1]
	path, page := p.typedPage(before)
	var all []string
	switch {
	case len(before) > 0 && len(path) > 0 && wantsValue(page, before[len(before)-1]):
		f, _ := page.Flag(strings.TrimLeft(before[len(before)-1], "-"))
		all = f.Choices
	case strings.HasPrefix(typed, "-"):
		name, value, given := strings.Cut(typed, "=")
		if f, ok := page.Flag(strings.TrimLeft(name, "-")); ok && given {
			for _, c := range f.Choices {
				all = append(all, name+"="+c)
			}
			typed = name + "=" + value
			break
		}
		for _, f := range page.Flags {
			all = append(all, dashed(f.Names[0]))
		}
		all = append(all, "--help")
	case len(path) == 0 || path[0] == "help":
		for _, g := range p.Pages {
			all = append(all, g.Name)
		}
	default:
		for _, below := range page.Pages {
			all = append(all, strings.TrimPrefix(below.Name, page.Name+" "))
		}
		if len(all) == 0 {
			all = arguments(page)
		}
	}
	return slices.DeleteFunc(slices.Clone(all), func(c string) bool { return !strings.HasPrefix(c, typed) })
}

// arguments are those that a page lists by name: "bash, zsh, fish or powershell".
func arguments(g Page) []string {
	if !strings.Contains(g.Arguments, ",") || strings.Contains(g.Arguments, "[") {
		return nil
	}
	return strings.FieldsFunc(strings.ReplaceAll(g.Arguments, " or ", ","), func(r rune) bool { return r == ',' || r == ' ' })
}

// typedPage finds the command that the words of a line name so far.
func (p Program) typedPage(words []string) (path []string, page Page) {
	for _, w := range words {
		if g, ok := p.Page(append(slices.Clone(path), w)); ok && !strings.HasPrefix(w, "-") {
			path, page = append(path, w), g
		}
	}
	return path, page
}

// wantsValue reports whether a word of a line is a flag that a value follows.
func wantsValue(g Page, word string) bool {
	if !strings.HasPrefix(word, "-") || strings.Contains(word, "=") {
		return false
	}
	f, ok := g.Flag(strings.TrimLeft(word, "-"))
	return ok && f.Value != ""
}

// Shells are those that [Completion] knows.
var Shells = []string{"bash", "zsh", "fish", "powershell"}

// CompleteCommand is the command by which the scripts of [Completion] ask for
// candidates. It is listed nowhere. After [Pointed] a point stands before the last
// word.
const (
	CompleteCommand = "__complete"
	Pointed         = "--pointed"
)

// Completion returns the script by which a shell completes a program's lines. It asks
// the program for candidates, a line each, and takes files where there are none. An
// unknown shell is a [fault.Input].
func Completion(program, shell string) (string, error) {
	text, ok := scripts[shell]
	if !ok {
		return "", fault.Bad("", fault.Meant("", shell, Shells, "they are "+strings.Join(Shells, ", ")), "there is no completion for %q", shell)
	}
	return strings.NewReplacer("PROGRAM", program, "COMPLETE", CompleteCommand).Replace(text), nil
}

// The scripts use what the manuals of the shells describe: bash(1), Programmable
// Completion; zshcompsys(1); fish-completions(7); about_Functions_Argument_Completion
// and Register-ArgumentCompleter of PowerShell.
var scripts = map[string]string{
	"bash": `# Completion of PROGRAM for bash: source it from ~/.bashrc.
_PROGRAM() {
  local IFS=$'\n' words=("${COMP_WORDS[@]:1:COMP_CWORD}")
  # bash takes "=" for a word of its own; put the flag and its value together.
  if [[ ${COMP_WORDS[COMP_CWORD]} == "=" || ${COMP_WORDS[COMP_CWORD-1]} == "=" ]]; then
    COMPREPLY=($(compgen -f -- "${COMP_WORDS[COMP_CWORD]#=}"))
    return
  fi
  COMPREPLY=($(PROGRAM COMPLETE "${words[@]}" 2>/dev/null))
  if [[ ${#COMPREPLY[@]} -eq 0 ]]; then
    compopt -o filenames 2>/dev/null
    COMPREPLY=($(compgen -f -- "${COMP_WORDS[COMP_CWORD]}"))
  fi
}
complete -F _PROGRAM PROGRAM
`,
	"zsh": `#compdef PROGRAM
# Completion of PROGRAM for zsh: put it as _PROGRAM in a folder of $fpath.
_PROGRAM() {
  local -a found
  found=("${(@f)$(PROGRAM COMPLETE "${(@)words[2,CURRENT]}" 2>/dev/null)}")
  found=("${(@)found:#}")
  if (( ${#found} )); then
    compadd -- "${found[@]}"
  else
    _files
  fi
}
if [[ "$funcstack[1]" == "_PROGRAM" ]]; then
  _PROGRAM "$@"
else
  compdef _PROGRAM PROGRAM
fi
`,
	"fish": `# Completion of PROGRAM for fish: put it in ~/.config/fish/completions.
function __PROGRAM_candidates
    set -l typed (commandline -ct)
    set -l words (commandline -opc)
    PROGRAM COMPLETE $words[2..-1] "$typed" 2>/dev/null
end
complete -c PROGRAM -f -n '__PROGRAM_candidates | count >/dev/null' -a '(__PROGRAM_candidates)'
complete -c PROGRAM -F -n 'not __PROGRAM_candidates | count >/dev/null'
`,
	"powershell": `# Completion of PROGRAM for PowerShell: add it to $PROFILE.
Register-ArgumentCompleter -Native -CommandName PROGRAM -ScriptBlock {
    param($wordToComplete, $commandAst, $cursorPosition)
    $words = @($commandAst.CommandElements | Select-Object -Skip 1 | ForEach-Object { "$_" })
    if ($wordToComplete -ne '') { $words = @($words | Select-Object -SkipLast 1) }
    # A point keeps the last word where it is empty: older shells drop empty words.
    PROGRAM COMPLETE --pointed @words ".$wordToComplete" 2>$null |
        ForEach-Object { [System.Management.Automation.CompletionResult]::new($_, $_, 'ParameterValue', $_) }
}
`,
}
