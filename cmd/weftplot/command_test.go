package main

import (
	"bytes"
	"context"
	"strings"
	"weftplot/cmd/weftplot/terminal"
)

// command runs the program's command line in a folder, in this process and
// without a terminal.
func command(ctx context.Context, dir string, args ...string) (status int, out, errs string) {
	var stdout, stderr bytes.Buffer
	status = run(ctx, append([]string{"weftplot"}, args...), terminal.Streams{In: strings.NewReader(""), Out: &stdout, Err: &stderr, Dir: dir})
	return status, stdout.String(), stderr.String()
}
