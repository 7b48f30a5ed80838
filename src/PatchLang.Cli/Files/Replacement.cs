using System.Runtime.InteropServices;
using System.Text;

namespace PatchLang.Cli.Files;

/// <summary>Replaces a file's text without a moment at which the file is not whole: writes beside it, then renames. A device or a pipe is no file to be replaced: it is written into.</summary>
internal static class Replacement
{
    /// <summary>Replaces the text. A link stays a link: what it points at is replaced.</summary>
    /// <returns>Whether there is a file now; not where a device or a pipe took the text.</returns>
    /// <exception cref="IOException">The file could not be replaced, and is as it was.</exception>
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
        if (File.Exists(beside)) File.Delete(beside); // gone already, unless something failed
    }

    /// <summary>Opens a device or a pipe, which says of itself that it is empty and can't be wound. Null for all else.</summary>
    private static FileStream? DeviceAt(string fullPath)
    {
        if (OperatingSystem.IsWindows() || !File.Exists(fullPath)) return null;
        var isDevice = fullPath.StartsWith("/dev/", StringComparison.Ordinal) && !fullPath.StartsWith("/dev/shm/", StringComparison.Ordinal);
        if (!isDevice && new FileInfo(Disk.RealPath(fullPath)) is not { Length: 0, IsReadOnly: false }) return null;
        // Standard output is a device by its name, and may be a file that others write to: what they wrote stays.
        var stream = new FileStream(fullPath, isDevice ? FileMode.Append : FileMode.Open, FileAccess.Write, FileShare.ReadWrite, bufferSize: 0);
        if (isDevice || !stream.CanSeek) return stream;
        stream.Dispose();
        return null;
    }
}
