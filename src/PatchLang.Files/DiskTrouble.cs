namespace PatchLang.Files;

/// <summary>What the system says when something on the disk does not work, as the end of a sentence: without the path in full, which the user wrote otherwise.</summary>
public static class DiskTrouble
{
    /// <summary>Why it did not work.</summary>
    public static string Why(Exception trouble) => trouble switch
    {
        UnauthorizedAccessException => "it is not permitted",
        PathTooLongException => "its name is too long",
        FileNotFoundException or DirectoryNotFoundException => "there is no such folder",
        _ => WithoutPath(trouble.Message),
    };

    // "No space left on device : '/home/…/stage.rig'"
    private static string WithoutPath(string message) =>
        (message.IndexOf(" : '", StringComparison.Ordinal) is var path and > 0 ? message[..path] : message).TrimEnd('.');
}
