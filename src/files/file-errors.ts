const REASONS: Record<string, string> = {
  EACCES: 'no permission',
  EPERM: 'not permitted',
  ENOENT: 'it does not exist',
  ENOTDIR: 'a part of its path is not a folder',
  EEXIST: 'there is a file where a folder is needed',
  EISDIR: 'it is a folder',
  EROFS: 'the disk is read-only',
  ENOSPC: 'the disk is full',
  EBUSY: 'it is in use, or a disk of its own',
  ELOOP: 'its links go round in a circle',
  ENAMETOOLONG: 'its name is too long',
  EMFILE: 'too many files are open',
  ERR_FS_FILE_TOO_LARGE: 'it is larger than 2 GiB',
}

/** Whether an error came from the operating system about a file, and not from a fault of ours. */
export function isFileError(error: unknown): error is NodeJS.ErrnoException {
  return (
    error instanceof Error &&
    'code' in error &&
    typeof error.code === 'string' &&
    ('syscall' in error || error.code in REASONS)
  )
}

/** What the operating system said, in plain words. */
export function fileErrorReason(error: NodeJS.ErrnoException): string {
  return REASONS[error.code ?? ''] ?? error.message
}
