package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/compose-spec/compose-go/v2/loader"
	"github.com/compose-spec/compose-go/v2/types"
)

// Against the schema of the Compose Specification (compose-spec.io), as carried
// by its reference library. Running the file needs a container engine.
func TestComposeFileIsValid(t *testing.T) {
	text := composeFile(t)
	passwords := types.Mapping{"COLDRAIL_DATABASE_PASSWORD": "one", "COLDRAIL_TEST_PASSWORD": "two"}
	project, err := compose(t, text, passwords)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range project.AllServices() {
		for _, p := range s.Ports {
			if p.HostIP != "127.0.0.1" {
				t.Errorf("%s opens port %s on %q, want this machine alone", s.Name, p.Published, p.HostIP)
			}
		}
		if s.Build == nil {
			continue
		}
		if _, err := os.Stat(filepath.Join(s.Build.Context, s.Build.Dockerfile)); err != nil {
			t.Errorf("%s is built from a file that is not there: %v", s.Name, err)
		}
	}
}

// Each mistake must be found, or the test above would prove nothing.
func TestComposeMistakesAreFound(t *testing.T) {
	text := composeFile(t)
	both := types.Mapping{"COLDRAIL_DATABASE_PASSWORD": "one", "COLDRAIL_TEST_PASSWORD": "two"}
	for _, tt := range []struct {
		name      string
		old, new  string
		passwords types.Mapping
		want      string
	}{
		{"a misspelt key", "    image:", "    imagee:", both, "imagee"},
		{"a volume nobody declared", "      - database:/var", "      - databas:/var", both, "databas"},
		{"no password for the shop", "", "", types.Mapping{"COLDRAIL_TEST_PASSWORD": "two"}, "set a password for the shop's database"},
		{"no password for the tests", "", "", types.Mapping{"COLDRAIL_DATABASE_PASSWORD": "one"}, "set a password for the tests' database"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := compose(t, strings.Replace(text, tt.old, tt.new, 1), tt.passwords)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got %v, want an error with %q", err, tt.want)
			}
		})
	}
}

func composeFile(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../docker-compose.yml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func compose(t *testing.T, text string, env types.Mapping) (*types.Project, error) {
	t.Helper()
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	return loader.LoadWithContext(t.Context(), types.ConfigDetails{
		WorkingDir:  root,
		ConfigFiles: []types.ConfigFile{{Filename: "docker-compose.yml", Content: []byte(text)}},
		Environment: env,
	}, loader.WithProfiles([]string{"*"}))
}
