namespace PatchLang.Declarations;

/// <summary>What the lack of a cable explains, in the words of <see cref="Draft.Explains"/>.</summary>
internal static class MissingCables
{
    /// <summary>That some cable is missing: it may be the one that a loom is for.</summary>
    public const string Any = "a cable is missing";

    /// <summary>That nothing is plugged into a port.</summary>
    public static string Into(string port) => $"no cable into {port}";

    /// <summary>That two ports have no cable between them, whichever way a signal is to go.</summary>
    public static string Between(string port, string other) =>
        string.CompareOrdinal(port, other) < 0 ? $"no cable between {port} and {other}" : $"no cable between {other} and {port}";
}
