using System.Runtime.InteropServices;
using System.Text;

namespace PatchLang.Cli.Files;

/// <summary>Replaces a file's text without a moment at which the file is not whole: writes beside it, then renames.</summary>
internal static class Replacement
{
    /// <summary>Replaces the text. A link stays a link: what it points at is replaced.</summary>
    /// <exception cref="IOException">The file could not be replaced, and is as it was.</exception>
    public static void Write(string fullPath, string text)
    {
        var target = Disk.RealPath(fullPath);
        var beside = $"{target}.{Environment.ProcessId}.new";
        using var onInterrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, _ => File.Delete(beside));
        try
        {
            if (File.Exists(target) && new FileInfo(target).IsReadOnly) throw new IOException("it is read-only");
            using (var stream = new FileStream(beside, FileMode.CreateNew, FileAccess.Write))
            {
                stream.Write(Encoding.UTF8.GetBytes(text));
                stream.Flush(flushToDisk: true);
            }
            if (!OperatingSystem.IsWindows() && File.Exists(target)) File.SetUnixFileMode(beside, File.GetUnixFileMode(target));
            File.Move(beside, target, overwrite: true);
        }
        catch (UnauthorizedAccessException e)
        {
            throw new IOException("writing to its folder is not permitted", e);
        }
        catch (DirectoryNotFoundException e)
        {
            throw new IOException("there is no such folder", e);
        }
        finally
        {
            File.Delete(beside); // gone already, unless something failed
        }
    }
}
