package cluster

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
)

// oldest is the first major version whose SQL the program uses.
const oldest = 14

// binaries returns the folder with initdb and postgres to use for data: the
// version that made it, or for a new cluster the newest on this machine.
func binaries(data string) (string, error) {
	found := installed()
	made, err := os.ReadFile(filepath.Join(data, "PG_VERSION"))
	if err == nil {
		major := strings.TrimSpace(string(made))
		for _, f := range found {
			if strconv.Itoa(f.major) == major {
				return f.bin, nil
			}
		}
		return "", fmt.Errorf("the data in %s was made by PostgreSQL %s, which is not on this machine (found: %s); nothing was changed: install PostgreSQL %s, or set DATABASE_URL",
			data, major, list(found), major)
	}
	if !errors.Is(err, os.ErrNotExist) {
		return "", fmt.Errorf("read the version of the cluster: %w", err)
	}
	best := release{}
	for _, f := range found {
		if f.major > best.major {
			best = f
		}
	}
	if best.major < oldest {
		return "", fmt.Errorf("no PostgreSQL %d or newer on this machine (found: %s): install it (apt-get install postgresql), or set DATABASE_URL",
			oldest, list(found))
	}
	return best.bin, nil
}

// release is one installed PostgreSQL.
type release struct {
	major int
	bin   string
}

// installed looks in the usual places, then on PATH.
func installed() []release {
	var all []release
	for _, pattern := range where {
		bins, _ := filepath.Glob(pattern) // the only error is a malformed pattern
		for _, bin := range bins {
			if m := majorOf(bin); m > 0 && complete(bin) {
				all = append(all, release{m, bin})
			}
		}
	}
	if path, err := exec.LookPath("postgres"); err == nil {
		if path, err = filepath.EvalSymlinks(path); err == nil && complete(filepath.Dir(path)) {
			if m := askMajor(path); m > 0 {
				all = append(all, release{m, filepath.Dir(path)})
			}
		}
	}
	return all
}

func complete(bin string) bool {
	for _, name := range []string{"initdb", "postgres"} {
		if info, err := os.Stat(filepath.Join(bin, name)); err != nil || info.Mode()&0o111 == 0 {
			return false
		}
	}
	return true
}

// askMajor is for a postgres on PATH, whose folder need not carry a version.
func askMajor(postgres string) int {
	if m := majorOf(filepath.Dir(postgres)); m >= oldest && strings.Contains(postgres, "/postgresql/") {
		return m
	}
	out, err := exec.Command(postgres, "-V").Output()
	if err != nil {
		return 0
	}
	m, _ := strconv.Atoi(string(number.Find(bytes.TrimSpace(out))))
	return m
}

func list(found []release) string {
	if len(found) == 0 {
		return "none"
	}
	var names []string
	for _, f := range found {
		names = append(names, strconv.Itoa(f.major))
	}
	return strings.Join(names, ", ")
}
