export default function SettingsPage() {
  return (
    <div className="page">
      <h1>Settings</h1>
    </div>
  );
}
