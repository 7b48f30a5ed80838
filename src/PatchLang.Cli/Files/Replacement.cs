using System.Runtime.InteropServices;
using System.Text;

namespace PatchLang.Cli.Files;

/// <summary>
/// Replaces a file's text atomically: writes a file beside it, then renames that. A device or a pipe is written to directly instead.
/// </summary>
internal static class Replacement
{
    /// <summary>Replaces the text. For a link, the file it points at is replaced.</summary>
    /// <returns>Whether the text is in a file now; false if a device or a pipe took it.</returns>
    /// <exception cref="IOException">The file could not be replaced, and is unchanged.</exception>
    public static bool Write(string fullPath, string text)
    {
        try
        {
            using var stream = DeviceAt(fullPath);
            if (stream is null) Replace(Disk.RealPath(fullPath), text);
            else stream.Write(Encoding.UTF8.GetBytes(text));
            return stream is null;
        }
        catch (UnauthorizedAccessException e)
        {
            throw new IOException("writing to its folder is not permitted", e);
        }
        catch (IOException e)
        {
            throw new IOException(DiskTrouble.Why(e), e);
        }
    }

    /// <summary>Replaces the texts of several files, all or none: no file is renamed before all have been written beside their targets.</summary>
    /// <returns>The number of the file that can't be written, and why; null if all were replaced.</returns>
    public static (int File, string Why)? WriteAll(IReadOnlyList<(string FullPath, string Text)> files)
    {
        if (files is [var (path, only)])
        {
            try
            {
                Write(path, only);
                return null;
            }
            catch (IOException e)
            {
                return (0, e.Message);
            }
        }
        var ready = new List<(string Beside, string Target)>();
        using var onInterrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, _ => Forget(ready));
        var at = 0;
        try
        {
            for (; at < files.Count; at++) Prepare(Disk.RealPath(files[at].FullPath), files[at].Text, ready);
            for (at = 0; at < files.Count; at++) File.Move(ready[at].Beside, ready[at].Target, overwrite: true);
            return null;
        }
        catch (UnauthorizedAccessException)
        {
            return (at, "writing to its folder is not permitted");
        }
        catch (IOException e)
        {
            return (at, DiskTrouble.Why(e));
        }
        finally
        {
            Forget(ready);
        }
    }

    private static void Replace(string target, string text)
    {
        var ready = new List<(string Beside, string Target)>();
        using var onInterrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, _ => Forget(ready));
        try
        {
            Prepare(target, text, ready);
            File.Move(ready[0].Beside, target, overwrite: true);
        }
        finally
        {
            Forget(ready);
        }
    }

    /// <summary>Writes a text beside its target, and adds it to <paramref name="ready"/> as soon as the file is there.</summary>
    private static void Prepare(string target, string text, List<(string Beside, string Target)> ready)
    {
        if (Directory.Exists(target)) throw new IOException("it is a folder");
        if (File.Exists(target) && new FileInfo(target).IsReadOnly) throw new IOException("it is read-only");
        var beside = $"{target}.{Environment.ProcessId}.new";
        using (var stream = new FileStream(beside, FileMode.CreateNew, FileAccess.Write))
        {
            ready.Add((beside, target));
            stream.Write(Encoding.UTF8.GetBytes(text));
            stream.Flush(flushToDisk: true);
        }
        if (!OperatingSystem.IsWindows() && File.Exists(target)) File.SetUnixFileMode(beside, File.GetUnixFileMode(target));
    }

    private static void Forget(List<(string Beside, string Target)> ready)
    {
        foreach (var (beside, _) in ready.ToArray())
            if (File.Exists(beside)) File.Delete(beside); // still there only if something failed
    }

    /// <summary>Opens a device or a pipe, which reports length 0 and can't seek. Null for anything else.</summary>
    private static FileStream? DeviceAt(string fullPath)
    {
        if (OperatingSystem.IsWindows() || !File.Exists(fullPath)) return null;
        var isDevice = fullPath.StartsWith("/dev/", StringComparison.Ordinal) && !fullPath.StartsWith("/dev/shm/", StringComparison.Ordinal);
        if (!isDevice && new FileInfo(Disk.RealPath(fullPath)) is not { Length: 0, IsReadOnly: false }) return null;
        // The device may stand for standard output that is redirected to a file, so append: what others wrote there must stay.
        var stream = new FileStream(fullPath, isDevice ? FileMode.Append : FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);
        if (isDevice || !stream.CanSeek) return stream;
        stream.Dispose();
        return null;
    }
}
