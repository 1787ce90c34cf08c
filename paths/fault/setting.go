package fault

import "regexp"

// Libraries write the name of a setting in square brackets, such as "give [width]
// 24in": how a person says it depends on the program that the person uses.
var setting = regexp.MustCompile(`(^|[\s(])\[([a-z][a-z0-9-]*)\]`)

// Rename returns text with the names of settings in square brackets replaced by
// what name returns for them, brackets included. A name for which it returns ""
// stays as it is, and so does a name that is part of a longer word, such as a file
// name.
func Rename(text string, name func(setting string) string) string {
	if name == nil {
		return text
	}
	return setting.ReplaceAllStringFunc(text, func(found string) string {
		part := setting.FindStringSubmatch(found)
		if to := name(part[2]); to != "" {
			return part[1] + to
		}
		return found
	})
}
