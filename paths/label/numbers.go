package label

import (
	"fmt"
	"strings"
)

// Numbers lists whole numbers that rise, in words: "2 to 5, 8 and 9".
func Numbers(list []int) string {
	var runs []string
	for i := 0; i < len(list); {
		k := i
		for k+1 < len(list) && list[k+1] == list[k]+1 {
			k++
		}
		if k < i+2 { // two in a row are no run
			k = i
			runs = append(runs, fmt.Sprint(list[i]))
		} else {
			runs = append(runs, fmt.Sprintf("%d to %d", list[i], list[k]))
		}
		i = k + 1
	}
	if n := len(runs) - 1; n > 0 {
		return strings.Join(runs[:n], ", ") + " and " + runs[n]
	}
	return strings.Join(runs, "")
}
