package browser

import (
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"runtime"
	"syscall"

	"golang.org/x/sys/unix"
)

// A shop's network may have no way out, and everything has to work there. So these
// tests, program and browser, run in a network namespace of their own (Linux,
// network_namespaces(7)): it has the loopback and nothing else.

// insideVariable marks the process that runs in there.
const insideVariable = "COLDRAIL_TEST_CUT_OFF"

// cutOff runs this binary again with the internet cut off and ends as it ends; in
// there it returns once the loopback is up and nothing else is to be reached.
func cutOff() error {
	if os.Getenv(insideVariable) != "" {
		return alone()
	}
	self, err := os.Executable()
	if err != nil {
		return err
	}
	again := exec.Command(self, os.Args[1:]...)
	again.Env = append(os.Environ(), insideVariable+"=yes")
	again.Stdin, again.Stdout, again.Stderr = os.Stdin, os.Stdout, os.Stderr
	again.SysProcAttr = &syscall.SysProcAttr{Cloneflags: unix.CLONE_NEWNET, Pdeathsig: syscall.SIGKILL}
	if os.Geteuid() != 0 {
		again.SysProcAttr.Cloneflags |= unix.CLONE_NEWUSER
		again.SysProcAttr.UidMappings = []syscall.SysProcIDMap{{ContainerID: os.Getuid(), HostID: os.Getuid(), Size: 1}}
		again.SysProcAttr.GidMappings = []syscall.SysProcIDMap{{ContainerID: os.Getgid(), HostID: os.Getgid(), Size: 1}}
		again.SysProcAttr.AmbientCaps = []uintptr{unix.CAP_NET_ADMIN}
	}
	runtime.LockOSThread() // Pdeathsig goes by the thread that started it
	err = again.Run()
	if ended := (*exec.ExitError)(nil); err == nil || errors.As(err, &ended) {
		os.Exit(again.ProcessState.ExitCode())
	}
	return fmt.Errorf("no network namespace to be had (run as root, or allow user namespaces): %w", err)
}

// alone brings the loopback up and makes sure of the cut.
func alone() error {
	socket, err := unix.Socket(unix.AF_INET, unix.SOCK_DGRAM|unix.SOCK_CLOEXEC, 0)
	if err != nil {
		return err
	}
	defer unix.Close(socket)
	loopback, err := unix.NewIfreq("lo")
	if err != nil {
		return err
	}
	loopback.SetUint16(unix.IFF_UP | unix.IFF_RUNNING)
	if err := unix.IoctlIfreq(socket, unix.SIOCSIFFLAGS, loopback); err != nil {
		return fmt.Errorf("bring the loopback up: %w", err)
	}
	const nowhere = "192.0.2.1:443" // for documentation, RFC 5737
	if _, err := net.Dial("tcp", nowhere); !errors.Is(err, syscall.ENETUNREACH) {
		return fmt.Errorf("the internet is not cut off: dialling %s says %v", nowhere, err)
	}
	return nil
}
