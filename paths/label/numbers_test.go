package label_test

import (
	"fmt"

	"weftplot/paths/label"
)

func ExampleNumbers() {
	fmt.Println(label.Numbers([]int{4}))
	fmt.Println(label.Numbers([]int{4, 5}))
	fmt.Println(label.Numbers([]int{2, 3, 4, 5, 8, 9, 12}))
	// Output:
	// 4
	// 4 and 5
	// 2 to 5, 8, 9 and 12
}
