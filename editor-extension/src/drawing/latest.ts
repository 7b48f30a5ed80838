// Work that is asked for faster than it is done: one at a time, and behind it only the last that was asked for.

export class Latest<T> {
  private waiting: { readonly value: T } | undefined;
  private timer: NodeJS.Timeout | undefined;
  private isBusy = false;

  /**
   * @param work Does it.
   * @param delay How long to wait for more, in milliseconds.
   * @param failed Told of what it throws.
   */
  constructor(
    private readonly work: (value: T) => Promise<void>,
    private readonly delay: number,
    private readonly failed: (error: unknown) => void
  ) {}

  /** Asks for it. */
  ask(value: T): void {
    this.waiting = { value };
    if (!this.isBusy) this.timer ??= setTimeout(() => void this.run(), this.delay);
  }

  /** Forgets what waits. */
  dispose(): void {
    this.waiting = undefined;
    clearTimeout(this.timer);
    this.timer = undefined;
  }

  private async run(): Promise<void> {
    this.timer = undefined;
    const next = this.waiting;
    if (!next) return;
    this.waiting = undefined;
    this.isBusy = true;
    try {
      await this.work(next.value);
    } catch (error) {
      this.failed(error);
    }
    this.isBusy = false;
    if (this.waiting) this.timer = setTimeout(() => void this.run(), 0);
  }
}
