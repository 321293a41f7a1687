namespace Trace.Storage;

/// <summary>The one door to the store.</summary>
public static class TraceStorage
{
    /// <summary>
    /// Opens a data folder, and creates it if it is not there. Checks the whole chain, cuts off what was never acknowledged, and brings the
    /// index up to date. If the journal is damaged what is sound can be read: see <see cref="Trace.Core.Journal.IJournal.Stopped"/>.
    /// </summary>
    /// <exception cref="StoreInUseException">Another program has the folder open.</exception>
    /// <exception cref="IOException">The disk refused.</exception>
    public static TraceStore Open(string dataFolder, StorageOptions? options = null) =>
        TraceStore.Open(new StoreFolder(dataFolder), options ?? new StorageOptions());

    /// <summary>
    /// Walks the chain of one stream, or of all, and changes nothing. May run beside a running server: what is being written is not judged.
    /// </summary>
    /// <exception cref="FileNotFoundException">The named stream has no journal, or the folder has none at all.</exception>
    public static VerifyReport Verify(string dataFolder, string? stream = null, IProgress<VerifyProgress>? progress = null) =>
        Verification.Run(new StoreFolder(dataFolder), stream, progress);

    /// <summary>
    /// Writes all journals, each up to its last whole batch, and their SHA-256 sums to a new zip file and reads it back to check it.
    /// May run beside a running server. The file holds persons and hashed keys: keep it as you keep the data folder.
    /// </summary>
    /// <exception cref="BackupRefusedException">A journal is damaged, there is none, or what was written does not read back.</exception>
    /// <exception cref="IOException">The target exists, or the disk refused.</exception>
    public static VerifyReport Backup(string dataFolder, string targetFile) => BackupArchive.Write(new StoreFolder(dataFolder), targetFile);

    /// <summary>
    /// Puts the journals of a backup in a data folder. Checks sums and chains before it touches anything. With <paramref name="force"/> the
    /// journals that are there are moved to a subfolder <c>replaced-N</c>, never deleted.
    /// </summary>
    /// <exception cref="BackupRefusedException">The file does not verify, or the folder has journals and force is not given.</exception>
    /// <exception cref="StoreInUseException">A program has the folder open.</exception>
    public static VerifyReport Restore(string backupFile, string dataFolder, bool force = false) =>
        BackupArchive.Restore(backupFile, new StoreFolder(dataFolder), force);

    /// <summary>
    /// Writes the folders <c>keys</c> and <c>certificates</c> and their SHA-256 sums to a new zip file, for its owner alone, and reads it
    /// back. May run beside a running server. Nothing in it is encrypted: keep it apart from the backups.
    /// </summary>
    /// <returns>The names of the files in it.</returns>
    /// <exception cref="BackupRefusedException">There are no keys, or what was written does not read back.</exception>
    /// <exception cref="IOException">The target exists, or the disk refused.</exception>
    public static IReadOnlyList<string> BackupKeys(string dataFolder, string targetFile) =>
        KeyArchive.Write(new StoreFolder(dataFolder), targetFile);

    /// <summary>Whether a backup is one of keys, to be put back by <see cref="RestoreKeys"/>.</summary>
    public static bool HoldsKeys(string backupFile) => KeyArchive.Is(backupFile);

    /// <summary>
    /// Puts the folders of a backup of keys in a data folder. Checks names and sums before it touches anything. With
    /// <paramref name="force"/> the folders that are there are moved to a subfolder <c>replaced-N</c>, never deleted.
    /// </summary>
    /// <returns>The names of the files put back.</returns>
    /// <exception cref="BackupRefusedException">The file does not verify, or the folder has keys and force is not given.</exception>
    /// <exception cref="StoreInUseException">A program has the folder open.</exception>
    public static IReadOnlyList<string> RestoreKeys(string backupFile, string dataFolder, bool force = false) =>
        KeyArchive.Restore(backupFile, new StoreFolder(dataFolder), force);

    /// <summary>
    /// Copies one site's journal as it is, up to its last whole batch, to a new file that <c>sha256sum</c> and a few lines of shell can
    /// check.
    /// May run beside a running server. Persons and keys stand in a journal of their own and are never part of it.
    /// </summary>
    /// <exception cref="BackupRefusedException">The journal is damaged, or there is none.</exception>
    /// <exception cref="IOException">The target exists, or the disk refused.</exception>
    public static VerifyReport Export(string dataFolder, string site, string targetFile) =>
        BackupArchive.Export(new StoreFolder(dataFolder), site, targetFile);

    /// <summary>
    /// Writes all that still holds of damaged journals to a new folder: what hangs together from the start as journals that can be opened
    /// again, each run behind the damage in a file of its own under <c>cut-off/</c>, and <c>report.txt</c>. Only reads the data folder.
    /// </summary>
    /// <exception cref="FileNotFoundException">There is no journal.</exception>
    /// <exception cref="IOException">The target exists or lies in the data folder, or the disk refused.</exception>
    public static SalvageReport Salvage(string dataFolder, string targetFolder) =>
        JournalSalvage.Run(new StoreFolder(dataFolder), targetFolder);
}
