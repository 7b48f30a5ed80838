using System.Buffers;
using System.Text;
using System.Text.Unicode;
using PatchLang.Text;

namespace PatchLang.Files;

/// <summary>Reads the text of a file or stream: UTF-8, with or without a byte order mark, and no larger than a plan may be.</summary>
public static class PlanText
{
    /// <summary>The largest accepted size in bytes: several times the largest realistic rig, and still compiled in seconds.</summary>
    public const int MostBytes = 32 << 20;

    /// <summary>The number of bytes read at a time.</summary>
    private const int Piece = 1 << 16;

    /// <summary>How long to wait for data from something that is not a regular file.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    /// <summary>Reads a file.</summary>
    /// <param name="path">Its path within the plan.</param>
    /// <param name="fullPath">Its path on disk.</param>
    public static FileReading Read(string path, string fullPath)
    {
        try
        {
            if (Directory.Exists(fullPath)) return FileReading.Failed(FileProblem.Unreadable, "it is a folder");
            var file = new FileInfo(fullPath);
            if (!file.Exists) return Absent(fullPath);
            if (file.Length > MostBytes) return TooLarge(file.Length);
            // A pipe or a device reports a length of 0, and opening it may block; a link may lead to one.
            if (file.Length > 0 && file.LinkTarget is null) return ReadPlain(path, fullPath);
            var reading = Task.Run(() => ReadPlain(path, fullPath));
            return ((IAsyncResult)reading).AsyncWaitHandle.WaitOne(Patience)
                ? reading.GetAwaiter().GetResult() // rethrows the original exception of a failure
                : FileReading.Failed(FileProblem.Unreadable, $"it is no plain file, and had not come to its end after {Patience.TotalSeconds:0} seconds");
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            return new FileInfo(fullPath).LinkTarget is { } target
                ? FileReading.Failed(FileProblem.Unreadable, $"it is a link to {target}, which is not there")
                : FileReading.Failed(FileProblem.NotFound);
        }
        catch (UnauthorizedAccessException)
        {
            return FileReading.Failed(FileProblem.Unreadable, "reading it is not permitted");
        }
        catch (IOException e)
        {
            return FileReading.Failed(FileProblem.Unreadable, new FileInfo(Disk.RealPath(fullPath)).LinkTarget is null ? DiskTrouble.Why(e) : "it is a link that leads back to itself");
        }
    }

    /// <summary>What is said of a file that the system does not show: it may be that the folders on the way are closed to us.</summary>
    private static FileReading Absent(string fullPath)
    {
        try
        {
            File.GetAttributes(fullPath); // unlike a question for its being there, this says why not
        }
        catch (UnauthorizedAccessException)
        {
            return FileReading.Failed(FileProblem.Unreadable, "reading it is not permitted");
        }
        catch (IOException)
        {
            // There is no such file.
        }
        return FileReading.Failed(FileProblem.NotFound);
    }

    /// <summary>Reads a stream to its end.</summary>
    public static FileReading Read(string path, Stream stream)
    {
        var bytes = new byte[stream.CanSeek ? Math.Max(stream.Length + 1, 1024) : 1 << 16];
        var count = 0;
        for (int read; (read = stream.Read(bytes, count, bytes.Length - count)) > 0;)
        {
            count += read;
            if (count > MostBytes) return TooLarge(count);
            if (count == bytes.Length) Array.Resize(ref bytes, 2 * count);
        }
        return Decode(path, bytes.AsSpan(0, count));
    }

    /// <summary>Why a file could not be read, as the end of a sentence about it.</summary>
    public static string Say(FileReading reading) => reading.Problem switch
    {
        FileProblem.NotFound => "there is no such file",
        FileProblem.TooLarge => $"it is too large: {reading.Detail}",
        FileProblem.NotText => $"it is not text in UTF-8: {reading.Detail}",
        FileProblem.Outside or FileProblem.ThroughLink => "it lies outside of the plan's folder",
        FileProblem.WrongCase => $"the disk spells it {reading.Detail}",
        _ => $"it can't be read: {reading.Detail}",
    };

    private static FileReading ReadPlain(string path, string fullPath)
    {
        using var stream = new FileStream(fullPath, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete, bufferSize: 0);
        if (Ascii(stream) is { } text) return FileReading.Of(new SourceText(path, text));
        if (stream.CanSeek) stream.Position = 0;
        return Read(path, stream);
    }

    /// <summary>
    /// The text of a large file that is pure ASCII, as most large plans are,
    /// decoded straight into the string. Null if it is not, or its length changes.
    /// </summary>
    private static string? Ascii(FileStream stream)
    {
        if (!stream.CanSeek || stream.Length is < Piece or > MostBytes) return null;
        var isAscii = true;
        var text = string.Create((int)stream.Length, stream, (chars, from) =>
        {
            var bytes = new byte[Piece];
            for (int read; isAscii && (read = from.Read(bytes)) > 0; chars = chars[read..])
                isAscii = read <= chars.Length && !bytes.AsSpan(0, read).Contains((byte)0)
                    && System.Text.Ascii.ToUtf16(bytes.AsSpan(0, read), chars, out _) == OperationStatus.Done;
            isAscii &= chars.IsEmpty;
        });
        return isAscii ? text : null;
    }

    private static FileReading Decode(string path, ReadOnlySpan<byte> bytes)
    {
        if (bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..]) return NotText("it is UTF-16; save it as UTF-8");
        if (bytes.IndexOf((byte)0) is var zero and >= 0) return NotText($"a zero byte in line {LineOf(bytes, zero)}");
        if (Utf8.IsValid(bytes)) return FileReading.Of(new SourceText(path, Encoding.UTF8.GetString(bytes)));
        Utf8.ToUtf16(bytes, new char[bytes.Length], out var valid, out _, replaceInvalidSequences: false);
        return NotText($"the byte {bytes[valid]:X2} in line {LineOf(bytes, valid)}");
    }

    private static int LineOf(ReadOnlySpan<byte> bytes, int at) => bytes[..at].Count((byte)'\n') + 1;

    private static FileReading NotText(string detail) => FileReading.Failed(FileProblem.NotText, detail);

    private static FileReading TooLarge(long size) =>
        FileReading.Failed(FileProblem.TooLarge, $"{(size + (1 << 20) - 1) >> 20} MB, where {MostBytes >> 20} MB is the most");
}
