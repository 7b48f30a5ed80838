namespace PatchLang.Writing;

/// <summary>A <see cref="PlanWriter"/> was asked to write invalid text. The message says what is wrong; nothing was written.</summary>
public sealed class PlanWritingException(string message) : Exception(message);
