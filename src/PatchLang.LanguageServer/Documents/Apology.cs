namespace PatchLang.LanguageServer.Documents;

/// <summary>What is said of what should never happen.</summary>
internal static class Apology
{
    /// <summary>A line for the client's log, with what someone who mends it needs.</summary>
    public static string For(string what, Exception e) =>
        $"the server itself went wrong at {what} ({e.GetType().Name}: {e.Message}). Please report it, with the plan that makes it happen.\n{e.StackTrace}";
}
