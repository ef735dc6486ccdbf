import type { JobKind, JobList, JobResult, JobView, Question, Setting } from "../records.ts";
import { asked, told } from "../server.ts";

export const fetchJobs = (): Promise<JobList> => told("/api/jobs");
export const fetchResult = (job: string): Promise<JobResult> => told(`/api/jobs/${job}/result`);
export const startJob = (kind: string, settings: Record<string, number>, tried: Question): Promise<JobList> =>
  asked("/api/jobs/start", { kind, settings, tried });
export const actOnJob = (job: string, act: "cancel" | "go-on" | "forget"): Promise<JobList> =>
  asked(`/api/jobs/${job}/${act}`, {});
export const setAtOnce = (count: number): Promise<JobList> => asked("/api/jobs/at-once", { count });

/** What a setting is set to. */
export const setTo = (one: Setting, typed: Record<string, number>): number => typed[one.key] ?? one.start;

/** The settings that have a meaning beside what is typed for the others. */
export function meant(kind: JobKind, typed: Record<string, number>): Setting[] {
  const has = new Set(kind.settings.filter((one) => setTo(one, typed)).map((one) => one.key));
  return kind.settings.filter((one) => !one.needs || has.has(one.needs));
}

const BUSY_MS = 700;
const IDLE_MS = 5000;

export function isOpen(job: JobView): boolean {
  return job.state === "waiting" || job.state === "running";
}

/** How long until the next look: often while something moves. */
export function nextLookMs(jobs: readonly JobView[]): number {
  return jobs.some(isOpen) ? BUSY_MS : IDLE_MS;
}

/** A time left that nobody needs to the second. */
export function timeLeft(seconds: number): string {
  if (seconds < 5) return "a few seconds left";
  if (seconds < 100) return `about ${Math.round(seconds / 5) * 5} s left`;
  if (seconds < 5400) return `about ${Math.round(seconds / 60)} min left`;
  return `about ${Math.round(seconds / 3600)} h left`;
}
