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

    private static void Replace(string target, string text)
    {
        if (Directory.Exists(target)) throw new IOException("it is a folder");
        if (File.Exists(target) && new FileInfo(target).IsReadOnly) throw new IOException("it is read-only");
        var beside = $"{target}.{Environment.ProcessId}.new";
        using var onInterrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, _ => Forget(beside));
        try
        {
            using (var stream = new FileStream(beside, FileMode.CreateNew, FileAccess.Write))
            {
                stream.Write(Encoding.UTF8.GetBytes(text));
                stream.Flush(flushToDisk: true);
            }
            if (!OperatingSystem.IsWindows() && File.Exists(target)) File.SetUnixFileMode(beside, File.GetUnixFileMode(target));
            File.Move(beside, target, overwrite: true);
        }
        finally
        {
            Forget(beside);
        }
    }

    private static void Forget(string beside)
    {
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
