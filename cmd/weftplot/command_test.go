package main

import (
	"bytes"
	"context"
	"strings"
)

// command runs the program's command line in a folder, in this process and
// without a terminal.
func command(ctx context.Context, dir string, args ...string) (status int, out, errs string) {
	var stdout, stderr bytes.Buffer
	status = run(ctx, append([]string{"weftplot"}, args...), streams{in: strings.NewReader(""), out: &stdout, err: &stderr, dir: dir})
	return status, stdout.String(), stderr.String()
}
