/** For what the client may refuse, or be too far gone to hear: it goes without. Left alone, the refusal would end the process. */
export function mayRefuse(request: Promise<unknown>): void {
  request.catch(() => undefined);
}
