// One clock for every timer on the page. It ticks only while something looks at it.
class Clock {
  now = $state(Date.now());
  private users = 0;
  private tick: ReturnType<typeof setInterval> | undefined;

  /** watch keeps the clock going for as long as an effect lives: $effect(() => clock.watch()). */
  watch(): () => void {
    this.now = Date.now();
    const look = () => {
      this.now = Date.now();
    };
    if (this.users++ === 0) {
      this.tick = setInterval(look, 500);
      document.addEventListener("visibilitychange", look);
    }
    return () => {
      if (--this.users === 0) clearInterval(this.tick);
      document.removeEventListener("visibilitychange", look);
    };
  }
}

export const clock = new Clock();
