//go:build !linux

package storetest

import "syscall"

// endWithParent does nothing: only Linux ties a process to its parent. There
// Main stops the server, unless the test process is killed.
func endWithParent(*syscall.SysProcAttr) {}
