namespace PatchLang.Scripting.Model;

/// <summary>The severity of a finding. Errors and warnings make a check fail; notes and hints do not.</summary>
public enum Severity
{
    /// <summary>Something to look at; usually normal practice.</summary>
    Hint,

    /// <summary>A fact the reader should know.</summary>
    Note,

    /// <summary>It may work, and someone should decide.</summary>
    Warning,

    /// <summary>It will not work as written.</summary>
    Error,
}
