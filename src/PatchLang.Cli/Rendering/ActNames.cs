using PatchLang.Declarations;

namespace PatchLang.Cli.Rendering;

/// <summary>The names of acts.</summary>
internal static class ActNames
{
    /// <summary>The names of some acts; null if these are all acts.</summary>
    public static string? During(Compilation compilation, ActSet acts) =>
        acts.Covers(compilation.Rig.AllActs) ? null : "during " + string.Join(", ", compilation.Acts.Where(a => acts.Has(a.Number)).Select(a => a.Name));

    /// <summary>The act with a name; all acts if the name is null. Reports an unknown name, and returns null.</summary>
    public static ActSet? Find(Compilation compilation, string? name, Terminal terminal)
    {
        if (name is null) return compilation.Rig.AllActs;
        if (compilation.Acts.FirstOrDefault(a => a.Name == name) is { } act) return ActSet.Of(act.Number);
        terminal.Complain(compilation.Acts.IsEmpty
            ? "the plan has no acts"
            : $"there is no act {name}; there are {string.Join(", ", compilation.Acts.Select(a => a.Name))}");
        return null;
    }
}
