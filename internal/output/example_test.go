package output_test

import (
	"fmt"
	"os"
	"path/filepath"

	"mouldwright/internal/output"
)

// Until Commit the wanted folder holds what it held before; then it holds the new files,
// all of them.
func Example() {
	dir, err := os.MkdirTemp("", "output")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	out := filepath.Join(dir, "out")
	there := func() bool { _, err := os.Stat(filepath.Join(out, "plates/one.txt")); return err == nil }

	folder, err := output.Open(out)
	if err != nil {
		panic(err)
	}
	defer folder.Abandon()
	file, err := folder.Create("plates/one.txt")
	if err != nil {
		panic(err)
	}
	fmt.Fprintln(file, "a plate")
	if err := file.Close(); err != nil {
		panic(err)
	}
	fmt.Println("before:", there())
	if err := folder.Commit(); err != nil {
		panic(err)
	}
	fmt.Println("after:", there())
	// Output:
	// before: false
	// after: true
}
