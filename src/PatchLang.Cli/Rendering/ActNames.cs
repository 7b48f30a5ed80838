using PatchLang.Declarations;

namespace PatchLang.Cli.Rendering;

/// <summary>Acts by their names.</summary>
internal static class ActNames
{
    /// <summary>What the plan calls some acts; null where they are all.</summary>
    public static string? During(Compilation compilation, ActSet acts) =>
        acts.Covers(compilation.Rig.AllActs) ? null : "during " + string.Join(", ", compilation.Acts.Where(a => acts.Has(a.Number)).Select(a => a.Name));

    /// <summary>The act of a name; all of them without one. Null, and a line said, where there is none of that name.</summary>
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
