package phones

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// slowPage throttles the page as the browser's developer tools do. That is the
// page's own thread alone: workers refuse it.
func (p *phone) slowPage(times int) {
	p.t.Helper()
	p.do("slow the page down", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: float64(times)})
		return err
	}))
}

// slowBrowser lets every process of the browser run for one part in so many of
// the time, as a phone with a slower processor would: page, workers, service
// worker, the threads that compile, storage and the browser itself. It ends with
// the function that it gives.
func (p *phone) slowBrowser(times int) (end func()) {
	if times == 1 {
		return func() {}
	}
	root := chromedp.FromContext(p.ctx).Browser.Process().Pid
	over, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		for {
			begun := time.Now()
			time.Sleep(2 * time.Millisecond)
			all := family(root)
			for _, pid := range all {
				_ = syscall.Kill(pid, syscall.SIGSTOP) // it may have gone, here and below
			}
			time.Sleep(time.Duration(times-1) * time.Since(begun))
			for _, pid := range all {
				_ = syscall.Kill(pid, syscall.SIGCONT)
			}
			select {
			case <-over:
				return
			default:
			}
		}
	}()
	return func() {
		close(over)
		<-ended
	}
}

// family is a process with all that descend from it.
func family(pid int) []int {
	all := []int{pid}
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/task/%d/children", pid, pid))
	if err != nil {
		return all
	}
	for _, w := range strings.Fields(string(text)) {
		if child, err := strconv.Atoi(w); err == nil {
			all = append(all, family(child)...)
		}
	}
	return all
}

// worked is how long the browser's workers had a processor so far. Unlike a clock
// it does not count when others have it.
func (p *phone) worked() (sum time.Duration) {
	for _, pid := range family(chromedp.FromContext(p.ctx).Browser.Process().Pid) {
		threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*", pid))
		if err != nil {
			p.t.Fatal(err)
		}
		for _, thread := range threads {
			name, err := os.ReadFile(filepath.Join(thread, "comm"))
			if err != nil || !strings.HasPrefix(string(name), "DedicatedWorker") {
				continue // it may have ended
			}
			var ns int64
			if text, err := os.ReadFile(filepath.Join(thread, "schedstat")); err == nil {
				fmt.Sscan(string(text), &ns)
			}
			sum += time.Duration(ns)
		}
	}
	return sum
}
