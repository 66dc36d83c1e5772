/** What one worker of a batch does: piscina calls the default export with a task. */
export { batchJob as default } from './batch-job.ts';
